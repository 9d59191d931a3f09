import { hydrate } from "preact";
import { choicesFrom } from "./kept.ts";
import { Page } from "./Page.tsx";
import { written } from "./written.ts";
import "../../shared/draw/tokens.css";
import "./style.css";

const place = document.getElementById("follow");
const came = written("held");
if (place && came?.held) {
  const given = choicesFrom(written("choices"));
  hydrate(
    <Page
      first={came.held}
      listen={null}
      given={() => given}
      savedAt={came.madeAt}
      madeAt={came.madeAt}
    />,
    place,
  );
}
