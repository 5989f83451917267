import { main, realDoor } from './main.ts'

/** A reader that has seen enough ("… | head") closes the pipe; that is no fault. */
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit()
    throw error
  })
}

await main(process.argv.slice(2), realDoor())
