/** One layout, then it is ended. */
import { layOutNetwork } from './lay-out-network.ts'
import type { LayoutWish } from './network-layout.ts'

addEventListener('message', (e: MessageEvent<LayoutWish>) => postMessage(layOutNetwork(e.data)))
