import { type CardFormat, cardStages, recapCards } from "../../shared/recap/card.ts";
import { descriptionText, listingsOf, listingsText } from "../../shared/recap/kit.ts";
import { poursTable } from "../../shared/recap/pours.ts";
import { type Recap, sayCounts, sayDay } from "../../shared/recap/recap.ts";
import type { Video } from "../../shared/recap/video.ts";
import type { State } from "../../shared/session/state.ts";
import { publicView, recapView } from "../../shared/session/views/publicView.ts";
import { type FollowBuild, followFile } from "../http/follow.ts";
import { cardPng, cardSvg } from "./picture.ts";
import { sheetHtml } from "./sheetFile.ts";

/** A file of a session's recap, made when it is asked for. */
export type RecapFile = { name: string; type: string; make(): string | Promise<Buffer> };

/** What the files need besides the session. */
export type RecapAround = {
  /** Chapters and captions; `null` where the session has no clock. */
  video: Video | null;
  /** The follow page as it was built, for the file that is taken away; without it there is none. */
  follow?: FollowBuild;
};

/**
 * Everything that is published of a session: the recap card as pictures, the recipe sheet, and the
 * texts of the publishing kit. The same session makes the same bytes.
 */
export function recapFiles(state: State, { video, follow }: RecapAround): RecapFile[] {
  const recap = recapView(state);
  return [
    ...cardFiles(recap),
    {
      name: "recipe-a4.html",
      type: "text/html",
      make: () => sheetHtml(state, recap, "A4"),
    },
    {
      name: "recipe-letter.html",
      type: "text/html",
      make: () => sheetHtml(state, recap, "Letter"),
    },
    ...(follow
      ? [{ name: "take-away.html", type: "text/html", make: () => takeAway(state, follow) }]
      : []),
    { name: "pours.csv", type: "text/csv", make: () => poursTable(state) },
    {
      name: "description.txt",
      type: "text/plain",
      make: () => descriptionText(state, recap, video?.chapters ?? null),
    },
    {
      name: "listings.txt",
      type: "text/plain",
      make: () => listingsText(listingsOf(state, recap)),
    },
    ...(video
      ? [
          { name: "chapters.vtt", type: "text/vtt", make: () => video.chaptersVtt },
          { name: "captions.vtt", type: "text/vtt", make: () => video.captionsVtt },
        ]
      : []),
  ];
}

/** The file that viewers may keep. It is dated by the session, not by the clock, to stay the same. */
function takeAway(state: State, build: FollowBuild): string {
  const { session, seq, closedAt, liveAt, openedAt } = state;
  const now = closedAt ?? liveAt ?? openedAt;
  const snapshot = { session, seq, view: publicView(state), now };
  return followFile({ snapshot, build, madeAt: now }).html;
}

function cardFiles(recap: Recap): RecapFile[] {
  const day = sayDay(recap.day);
  const formats = Object.keys(cardStages) as CardFormat[];
  return formats.flatMap((format) => {
    const cards = recapCards(recap, day, cardStages[format]);
    return cards.flatMap((card): RecapFile[] => {
      const of = card.leaves > 1 ? `-${card.leaf}` : "";
      const title = `${recap.name}, ${day}: ${sayCounts(recap)}`;
      const svg = () => cardSvg(card, title);
      return [
        { name: `card-${format}${of}.svg`, type: "image/svg+xml", make: svg },
        { name: `card-${format}${of}.png`, type: "image/png", make: () => cardPng(svg()) },
      ];
    });
  });
}
