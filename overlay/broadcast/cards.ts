import { type Card, overlayStage, recapCards } from "../../shared/recap/card.ts";
import { type Recap, sayDay } from "../../shared/recap/recap.ts";

let last: { recap: Recap; height: number; cards: Card[] } | null = null;

/** The leaves of the recap card, laid out once for as long as nothing about them changes. */
export function cardsOf(recap: Recap, height: number): Card[] {
  if (last?.recap !== recap || last.height !== height) {
    last = { recap, height, cards: recapCards(recap, sayDay(recap.day), overlayStage(height)) };
  }
  return last.cards;
}
