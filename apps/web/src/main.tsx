import { render } from './framework.ts'
import './styles/tokens.css'
import './styles/base.css'

render(() => <main>Beakertide</main>, document.getElementById('page')!)
