import fc from "fast-check";
import { encode } from "uqr";
import { describe, expect, test } from "vitest";
import { addressOf } from "../../controller/bench/address.ts";
import { addressSchema, mostAddressLetters } from "../../shared/session/command.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";

describe("an address for the code on screen", () => {
  test.each([
    ["recipes.example/dusk", "https://recipes.example/dusk"],
    ["  http://192.0.2.7:4707/follow ", "http://192.0.2.7:4707/follow"],
    ["https://recipes.example/", "https://recipes.example"],
    ["dämmerung.example", "https://xn--dmmerung-0za.example"],
  ])("is taken as it is typed: %s", (typed, address) => {
    expect(addressOf(typed)).toEqual({ address });
  });

  test.each([
    ["", "Type an address first"],
    ["harbour at dusk", "is not an address"],
    ["https://", "is not an address"],
    ["javascript://alert(1)", "begins with http:// or https://"],
    ["file:///etc/hosts", "begins with http:// or https://"],
    [`recipes.example/${"dusk".repeat(20)}`, "longer than the 53 letters"],
  ])("is refused in a sentence: %s", (typed, say) => {
    const read = addressOf(typed);
    expect("say" in read && read.say).toContain(say);
  });

  test("never needs a code larger than version 3, whose modules have 9 px each", () => {
    const letters = fc.string({
      unit: fc.integer({ min: 0x21, max: 0x7e }).map((code) => String.fromCharCode(code)),
      minLength: 1,
      maxLength: mostAddressLetters - 8,
    });
    fc.assert(
      fc.property(letters, (path) => {
        const address = addressSchema.parse(`https://${path}`);
        expect(encode(address, { ecc: "L", boostEcc: true }).version).toBeLessThanOrEqual(3);
      }),
    );
    // One letter more would.
    expect(encode("x".repeat(mostAddressLetters + 1), { ecc: "L" }).version).toBe(4);
  });

  test("is in the public view until it is taken off, whatever else is shown", () => {
    const desk = Desk.live();
    const address = "https://recipes.example";
    desk.must({ type: "showCode", address });
    desk.must({ type: "show", view: "tally", parts: desk.state.overlay.parts });
    expect(publicView(desk.state).overlay).toMatchObject({ view: "tally", code: address });
    desk.must({ type: "showCode", address: null });
    expect(publicView(desk.state).overlay).not.toHaveProperty("code");
  });
});
