import { CardDrawing } from "../../shared/recap/Card.tsx";
import { cardsOf } from "./cards.ts";
import type { RecapLook } from "./frame.ts";

/** The recap card over the video: the drawing that its files are made from. */
export function RecapPanel({ recap, height, leaf }: RecapLook) {
  const card = cardsOf(recap, height)[leaf - 1];
  if (!card) return null;
  return (
    <section class="recap">
      <CardDrawing card={card} whole={false} title={recap.name} />
    </section>
  );
}
