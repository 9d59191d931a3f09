/** Stands in until it is built. */
export function Files({ plan }: { plan: string | null; token: string; onPlan: (plan: string) => void }) {
  return <p>{plan}</p>;
}
