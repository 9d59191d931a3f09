import { useState } from "preact/hooks";

/** Something in hand: what stands on the shelf, and what is being made of it. */
export type Draft<Item> = {
  readonly value: Item;
  /** Whether anything is different from what stands on the shelf. */
  readonly changed: boolean;
  put(next: Partial<Item>): void;
  /** Puts it in place of all that was there, so that keys can be left out. */
  set(next: Item): void;
  /** It was kept, or is to be as it stands on the shelf again. */
  settle(item: Item): void;
};

/**
 * What is typed stays in hand until it is kept, as one step that can be taken back. What changes on
 * the shelf meanwhile is followed as long as nothing was typed.
 */
export function useDraft<Item>(onShelf: Item): Draft<Item> {
  const [{ from, value }, setState] = useState({ from: onShelf, value: onShelf });
  if (onShelf !== from && value === from) setState({ from: onShelf, value: onShelf });
  return {
    value,
    changed: value !== from,
    put: (next) => setState((before) => ({ ...before, value: { ...before.value, ...next } })),
    set: (next) => setState((before) => ({ ...before, value: next })),
    settle: (item) => setState({ from: item, value: item }),
  };
}

/** A copy with a key left out where its value is empty. */
export function withWord<Item extends object, Key extends string>(
  item: Item,
  key: Key,
  value: string | number | null,
): Item {
  const rest = { ...item };
  Reflect.deleteProperty(rest, key);
  return value === null || value === "" ? rest : { ...rest, [key]: value };
}

/** Leads to the first field whose text could not be read; false where there is none. */
export function goToUnread(within: Element | null): boolean {
  const field = within?.querySelector<HTMLElement>('[aria-invalid="true"]');
  field?.focus();
  return field != null;
}
