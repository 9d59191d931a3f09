/** Stands in until it is built. */
export function Shelf() {
  return <p>Shelf</p>;
}
