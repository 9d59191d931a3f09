import { hydrate, render } from "preact";
import { choicesFrom } from "./kept.ts";
import { Page } from "./Page.tsx";
import { unpacked, written } from "./written.ts";
import "../../shared/draw/tokens.css";
import "./style.css";

async function open(place: HTMLElement): Promise<void> {
  const came = await unpacked();
  if (!came?.held) {
    place.append("To work out your own amounts, this file needs a browser of 2023 or later.");
    return;
  }
  const given = choicesFrom(written("choices"));
  const page = (
    <Page
      first={came.held}
      listen={null}
      given={() => given}
      savedAt={came.madeAt}
      madeAt={came.madeAt}
    />
  );
  if (place.className === "plain") {
    // A long recipe stands there as text: all of it is drawn here.
    place.className = "";
    place.replaceChildren();
    render(page, place);
  } else hydrate(page, place);
}

const place = document.getElementById("follow");
if (place) void open(place);
