import { type SceneKind, sceneKinds } from "../../shared/broadcast/binding.ts";
import type { PartProps } from "./part.ts";

const kindNames: Record<SceneKind, string> = {
  waiting: "Before going live",
  pour: "A pour",
  heat: "Heat or rest",
  swatch: "A swatch",
  recap: "The recap",
};

/** Which scene goes with which kind of step. */
export function ScenesOf({ report, desk, say }: PartProps) {
  const { scenes, bindings, word } = report;
  if (word.state !== "on") return null;
  const bind = (kind: SceneKind, scene: string) => {
    const next = { ...bindings, [kind]: scene };
    if (scene === "") delete next[kind];
    say(
      desk.tell(
        "PUT",
        "/scenes",
        `${kindNames[kind]}: ${scene === "" ? "left as it is" : scene}.`,
        next,
      ),
    );
  };
  return (
    <section class="broadcast-part" aria-labelledby="broadcast-scenes">
      <h3 id="broadcast-scenes">Scenes</h3>
      {sceneKinds.map((kind) => {
        const bound = bindings[kind] ?? "";
        const gone = bound !== "" && !scenes.includes(bound);
        return (
          <label key={kind} class="name-field broadcast-scene">
            <span>{kindNames[kind]}</span>
            <select
              aria-label={kindNames[kind]}
              value={bound}
              onChange={(event) => bind(kind, event.currentTarget.value)}
            >
              <option value="">leave the scene as it is</option>
              {gone && <option value={bound}>{bound} (gone)</option>}
              {scenes.map((scene) => (
                <option key={scene} value={scene}>
                  {scene}
                </option>
              ))}
            </select>
          </label>
        );
      })}
      {bindings.swatch !== undefined && (
        <button
          type="button"
          class="quiet-button"
          onClick={() =>
            say(
              desk.tell("POST", "/scene", "The swatch's scene, until the session moves on.", {
                kind: "swatch",
              }),
            )
          }
        >
          Show the swatch's scene
        </button>
      )}
    </section>
  );
}
