import { afterAll } from "vitest";
import { closeBrowsers } from "./launch.ts";

afterAll(closeBrowsers);
