import type { ComponentChild, ComponentChildren, VNode } from "preact";

/**
 * A drawing as markup, made by calling its components as the plain functions they have to be:
 * one that used a hook or the page would throw here.
 */
export function markup(drawing: ComponentChildren): string {
  if (Array.isArray(drawing)) return drawing.map(markup).join("");
  if (drawing === null || drawing === undefined || typeof drawing === "boolean") return "";
  if (typeof drawing !== "object") return escaped(String(drawing));
  const { type, props } = drawing as VNode<Record<string, unknown>>;
  if (typeof type === "function") {
    return markup((type as (props: unknown) => ComponentChild)(props));
  }
  const attributes = Object.entries(props)
    .filter(([name, value]) => name !== "children" && value !== undefined)
    .map(([name, value]) => ` ${name}="${escaped(String(value))}"`)
    .join("");
  return `<${type}${attributes}>${markup(props.children as ComponentChildren)}</${type}>`;
}

function escaped(text: string): string {
  return text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/"/g, "&quot;");
}
