import { fade } from "../../shared/colour/fade.ts";
import { match } from "../../shared/colour/match.ts";
import type { Done, Job } from "./work.ts";

/** Takes one job after the other, and answers each under its number. */
addEventListener("message", (event: MessageEvent<{ n: number; job: Job }>) => {
  const { n, job } = event.data;
  try {
    postMessage({ n, answer: done(job) });
  } catch (error) {
    postMessage({ n, failed: String(error) });
  }
});

function done(job: Job): Done[Job["job"]] {
  switch (job.job) {
    case "match":
      return match(job.yarn, job.target, job.shelf);
    case "fade":
      return fade(job.order);
  }
}
