import { hydrate, render } from "preact";
import { listen } from "../live/listen.ts";
import { choicesFor } from "./kept.ts";
import { Page, type PageProps } from "./Page.tsx";
import { written } from "./written.ts";
import "../../shared/draw/tokens.css";
import "./style.css";

const place = document.getElementById("follow");
const came = written("held");
const page: PageProps = {
  first: came?.held ?? null,
  listen,
  given: ({ session }) => choicesFor(session, () => window.localStorage),
  savedAt: null,
  madeAt: came?.madeAt ?? Date.now(),
};
if (place) (came === null ? render : hydrate)(<Page {...page} />, place);
