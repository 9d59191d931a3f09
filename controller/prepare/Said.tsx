import { usePreparation } from "./context.tsx";

/** What was done last, or why not; and whether it is written down. */
export function Said() {
  const { said, saving } = usePreparation();
  const away = "Pourside does not answer. What you change is kept here and goes out once it does.";
  return (
    <p
      class="prepare-said"
      role="status"
      data-saving={saving === "saved" ? undefined : saving}
      data-tone={saving === "away" ? "refused" : (said?.tone ?? "done")}
    >
      {saving === "away" ? away : (said?.say ?? "")}
    </p>
  );
}
