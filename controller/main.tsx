import "./style.css";
import { render } from "preact";
import { Controller } from "./Controller.tsx";

const page = document.getElementById("page");
if (page) render(<Controller />, page);
