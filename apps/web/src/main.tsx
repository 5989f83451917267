import { render } from './framework.ts'
import './styles/tokens.css'
import './styles/base.css'
import { createWork } from './work/create-work.ts'

const work = createWork()
Object.assign(globalThis, { work })
render(() => <main>Beakertide</main>, document.getElementById('page')!)
