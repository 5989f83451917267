import { main, realDoor } from './main.ts'

await main(process.argv.slice(2), realDoor())
