/**
 * An answer that is a refusal, not a failure of the program: `say` is a sentence for the dyer that
 * tells what to change, `code` is for tests and translations.
 */
export type Refusal = { readonly code: string; readonly say: string };

export function refuse(code: string, say: string): Refusal {
  return { code, say };
}

/** True when an answer is a refusal; narrows `T | Refusal`. */
export function refused<T>(answer: T | Refusal): answer is Refusal {
  return typeof answer === "object" && answer !== null && "say" in answer && "code" in answer;
}
