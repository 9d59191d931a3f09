import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitText, textWidth } from "../../shared/draw/letters.ts";

describe("fitText", () => {
  it("leaves a name alone that fits", () => {
    expect(fitText("Saltmarsh", 18, 400)).toBe("Saltmarsh");
  });

  it("ends a long name in an ellipsis", () => {
    expect(fitText("Harbourmaster at midnight", 15, 80)).toMatch(/^Harb.*…$/);
  });

  it("keeps the number that tells one skein from the next", () => {
    expect(fitText("Harbour at dusk 11", 15, 90)).toMatch(/^Har.*…11$/);
  });

  it("never exceeds the room, and gives nothing rather than too much", () => {
    fc.assert(
      fc.property(
        fc.string({ maxLength: 24 }),
        fc.integer({ min: 8, max: 60 }),
        fc.integer({ min: 0, max: 400 }),
        (text, size, room) => {
          expect(textWidth(fitText(text, size, room), size)).toBeLessThanOrEqual(room);
        },
      ),
    );
  });
});
