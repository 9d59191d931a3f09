/** Stands in until it is built. */
export function Colour({ plan }: { plan: string | null; token: string }) {
  return <p>{plan}</p>;
}
