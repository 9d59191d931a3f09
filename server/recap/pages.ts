import type { Express } from "express";
import { cardStages, recapCards } from "../../shared/recap/card.ts";
import { type Recap, sayCounts, sayDay } from "../../shared/recap/recap.ts";
import { type Packed, pack, sendPacked } from "../http/pack.ts";
import { refuse } from "../http/refuse.ts";
import { escaped } from "./escaped.ts";
import { cardSvg } from "./picture.ts";

type Page = { page: Packed; cards: readonly Packed[] };

/**
 * The recap for whoever followed, at `/recap`: its cards, upright as a phone is held, each also a
 * picture of its own. Drawn once, however many come.
 *
 * @param recap what viewers may look back on now; `null` before the dyer shows it or the session ends
 */
export function recapPages(app: Express, recap: () => Recap | null): void {
  let drawn: { of: Recap; page: Page } | null = null;
  const pageNow = (): Page | null => {
    const of = recap();
    if (of === null) return null;
    if (drawn?.of !== of) drawn = { of, page: draw(of) };
    return drawn.page;
  };
  app.get("/recap", (request, response) => {
    const now = pageNow();
    response.set("Cache-Control", "no-cache");
    if (now === null) {
      refuse(
        response,
        404,
        "noRecap",
        "There is no recap yet. It comes at the end of the session.",
      );
      return;
    }
    response.set("Content-Security-Policy", pagePolicy).type("html");
    sendPacked(request, response, now.page);
  });
  app.get("/recap/:name", (request, response) => {
    const leaf = /^card-([1-9]\d?)\.svg$/.exec(request.params.name)?.[1];
    const card = leaf === undefined ? undefined : pageNow()?.cards[Number(leaf) - 1];
    response.set("Cache-Control", "no-cache");
    if (card === undefined) {
      refuse(response, 404, "noCard", "The recap has no such card.");
      return;
    }
    response.set("Content-Security-Policy", cardPolicy).type("svg");
    sendPacked(request, response, card);
  });
}

const pagePolicy =
  "default-src 'none'; img-src 'self'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'";
const cardPolicy = "default-src 'none'; style-src 'unsafe-inline'; sandbox";

function draw(recap: Recap): Page {
  const day = sayDay(recap.day);
  const title = `${recap.name}, ${day}: ${sayCounts(recap)}`;
  const stage = cardStages.portrait;
  const cards = recapCards(recap, day, stage);
  const pictures = cards.map(
    (_card, at) =>
      `<li><a href="/recap/card-${at + 1}.svg"><img src="/recap/card-${at + 1}.svg" width="${stage.width}" height="${stage.height}" alt="${escaped(cards.length > 1 ? `${title}, ${at + 1} of ${cards.length}` : title)}"></a></li>`,
  );
  const html = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>${escaped(title)}</title>
<link rel="icon" href="data:,">
<style>${style}</style>
</head>
<body>
<main>
<h1>Recap</h1>
<ul>${pictures.join("")}</ul>
<p><a href="/follow">The whole recipe, for your own yarn and stocks</a></p>
</main>
</body>
</html>
`;
  return {
    page: pack(html, "quick"),
    cards: cards.map((card) => pack(cardSvg(card, title), "quick")),
  };
}

const style = `:root{color-scheme:light;background:#f3ecdf;color:#1d2125;font:1.125rem/1.5 system-ui,sans-serif}
body{margin:0}
main{box-sizing:border-box;max-width:40rem;margin:0 auto;padding:1rem}
h1{margin:0 0 1rem;font-size:1.5rem}
ul{display:grid;gap:1rem;margin:0;padding:0;list-style:none}
img{display:block;width:100%;height:auto}
a{color:inherit}
p a{display:inline-flex;align-items:center;min-height:48px}
a:focus-visible{outline:3px solid;outline-offset:3px}`;
