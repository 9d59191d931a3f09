declare module "fmin/index.js" {
  export function nelderMead(
    objective: (x: number[]) => number,
    start: number[],
    parameters?: { minErrorDelta?: number; maxIterations?: number },
  ): { fx: number; x: number[] };
}
