/**
 * Plans: long work that asks for many rehearsals which do not depend on one another, and goes on when it has their answers. Whoever
 * carries a plan out decides where they are made, here one by one or on all cores; what comes out is the same, because an answer
 * depends on its question alone and arrives in the order of the questions.
 */

/** Fewer answers than questions: it was stopped, and the plan ends with what it has. */
export type Plan<Question, Answer, Result> = Generator<readonly Question[], Result, readonly Answer[]>

/** Carries a plan out here, one question after the other. `answer` gives undefined when it was stopped. */
export function carryOut<Question, Answer, Result>(
  plan: Plan<Question, Answer, Result>,
  answer: (question: Question) => Answer | undefined,
): Result {
  let asked = plan.next([])
  while (asked.done !== true) {
    const answers: Answer[] = []
    for (const question of asked.value) {
      const one = answer(question)
      if (one === undefined) break
      answers.push(one)
    }
    asked = plan.next(answers)
  }
  return asked.value
}
