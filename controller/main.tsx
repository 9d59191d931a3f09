import "./style.css";
import { options, render } from "preact";
import { Controller } from "./Controller.tsx";

// What a tap has to send goes out before the page is drawn anew; a page out of sight gets no frames.
options.debounceRendering = (draw) => {
  if (document.hidden) setTimeout(draw);
  else requestAnimationFrame(draw);
};

const page = document.getElementById("page");
if (page) render(<Controller />, page);
