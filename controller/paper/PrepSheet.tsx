/** Stands in until it is built. */
export function PrepSheet({ plan }: { plan: string }) {
  return <p>{plan}</p>;
}
