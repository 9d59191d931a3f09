import "./prepare.css";
import { useEffect, useState } from "preact/hooks";
import type { Id } from "../../shared/session/setup.ts";
import { Colour } from "../colour/Colour.tsx";
import { Files } from "../files/Files.tsx";
import { newId } from "../link/id.ts";
import { PrepSheet } from "../paper/PrepSheet.tsx";
import { PlanTable } from "../plan/PlanTable.tsx";
import { Shelf } from "../shelf/Shelf.tsx";
import { Stocks } from "../stocks/Stocks.tsx";
import { Time } from "../time/Time.tsx";
import { usePreparation } from "./context.tsx";
import { NoPlan } from "./NoPlan.tsx";
import { PlanHead } from "./PlanHead.tsx";
import { Said } from "./Said.tsx";

const TABS = [
  { tab: "plan", label: "Plan" },
  { tab: "time", label: "Time" },
  { tab: "paper", label: "Prep sheet" },
  { tab: "stocks", label: "Stocks" },
  { tab: "shelf", label: "Shelf" },
  { tab: "colour", label: "Colour" },
  { tab: "files", label: "Files" },
] as const;

type Tab = (typeof TABS)[number]["tab"];

/** Before the stream: shelf, stocks, plan, its time and its paper. */
export function Prepare({ token, onBench }: { token: string; onBench: () => void }) {
  const { prepared, word, change } = usePreparation();
  const [tab, setTab] = useState<Tab>("plan");
  const [chosen, setChosen] = useState<Id | null>(null);
  const open = Object.entries(prepared?.plans ?? {}).filter(([, { away }]) => !away);
  const plan =
    open.find(([id]) => id === chosen)?.[0] ??
    open.find(([id]) => id === word?.onBench)?.[0] ??
    open.at(-1)?.[0] ??
    null;
  useUndoKeys();
  return (
    <main class="prepare">
      <h1 class="unseen">Prepare</h1>
      <PlanHead token={token} plan={plan} onPlan={setChosen} onBench={onBench} />
      <nav class="prepare-tabs" aria-label="Prepare">
        {TABS.map((one) => (
          <button
            key={one.tab}
            type="button"
            class="prepare-tab"
            aria-current={tab === one.tab ? "page" : undefined}
            onClick={() => setTab(one.tab)}
          >
            {one.label}
          </button>
        ))}
      </nav>
      <Said />
      {prepared === null ? (
        <p class="prepare-wait">Fetching shelf and plans …</p>
      ) : (
        <div class="prepare-page" data-tab={tab}>
          {tab === "stocks" && <Stocks />}
          {tab === "shelf" && <Shelf />}
          {tab === "colour" && <Colour plan={plan} />}
          {tab === "files" && <Files plan={plan} token={token} onPlan={setChosen} />}
          {(tab === "plan" || tab === "time" || tab === "paper") && plan === null && (
            <NoPlan
              onBegin={(content) => {
                const id = newId();
                void change({ change: "newPlan", plan: id, content });
                setChosen(id);
              }}
            />
          )}
          {tab === "plan" && plan !== null && <PlanTable key={plan} plan={plan} />}
          {tab === "time" && plan !== null && <Time key={plan} plan={plan} />}
          {tab === "paper" && plan !== null && <PrepSheet key={plan} plan={plan} />}
        </div>
      )}
    </main>
  );
}

/** The usual keys of an editor, also where nothing has the focus. */
function useUndoKeys(): void {
  const { undo, redo } = usePreparation();
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const target = event.target instanceof Element ? event.target : null;
      // A field undoes its own typing.
      if (target?.matches("input[type=text], textarea")) return;
      const key = event.key.toLowerCase();
      if (key === "z" && !event.shiftKey) void undo();
      else if (key === "y" || (key === "z" && event.shiftKey)) void redo();
      else return;
      event.preventDefault();
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  });
}
