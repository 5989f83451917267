export { type Span, type Problem, type Outcome, done, refuse, gather, inReadingOrder, invariant, BrokenInvariant } from './problem.ts'
export { nearest, suggestion } from './nearest.ts'
export { place, problemText, problemsText } from './problem-text.ts'
