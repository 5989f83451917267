/** Where the packed texts of the tables stand; the build writes them (build/packed-facts.ts). */
import url from '../../../generated/facts.json?url'

export const factsUrl: string = url
