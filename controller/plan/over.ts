import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import type { Plan, PlanPour } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";

/**
 * Which skeins a pour goes over, as it is typed: nothing or "all" for all in the pan, else their names
 * with commas, each with its parts behind a colon where it is not by weight: "3, 4" or "3:1, 4:2".
 */
export function readOver(text: string, plan: Plan, pan: Id): { over: PlanPour["over"] } | Refusal {
  const typed = text.trim();
  if (typed === "" || /^all$/i.test(typed)) return { over: "all" };
  const there = plan.skeins.filter((skein) => skein.pan === pan);
  const over: { skein: Id; parts: number | null }[] = [];
  for (const part of typed.split(/[,;]/)) {
    const [, name = "", parts] = /^\s*(.*?)\s*(?::\s*(\d{1,6})\s*)?$/.exec(part) ?? [];
    if (name === "") continue;
    const low = name.toLowerCase();
    const found =
      there.find((skein) => skein.name.toLowerCase() === low) ??
      there.find((skein) => skein.name.toLowerCase() === `skein ${low}`);
    if (!found) {
      const names = there.map((skein) => skein.name).join(", ");
      return refuse(
        "over.unknown",
        names === ""
          ? "No skein lies in this pan yet."
          : `No skein "${name}" lies in this pan: there are ${names}.`,
      );
    }
    if (over.some((one) => one.skein === found.id)) {
      return refuse("over.twice", `Skein ${found.name} stands here twice.`);
    }
    if (parts !== undefined && Number(parts) === 0) {
      return refuse("over.parts", "Parts are counted from 1.");
    }
    over.push({ skein: found.id, parts: parts === undefined ? null : Number(parts) });
  }
  if (over.length === 0) return { over: "all" };
  const given = over.filter(({ parts }) => parts !== null).length;
  if (given > 0 && given < over.length) {
    return refuse("over.mixed", "Give parts for each of these skeins, or for none of them.");
  }
  return { over };
}

/** As it would be typed. */
export function overText(over: PlanPour["over"], plan: Plan): string {
  if (over === "all") return "all";
  return over
    .map(({ skein, parts }) => {
      const name = plan.skeins.find(({ id }) => id === skein)?.name ?? skein;
      return parts === null ? name : `${name}:${parts}`;
    })
    .join(", ");
}
