import { h, type VNode } from "preact";
import { describe, expect, it } from "vitest";
import { still } from "../../shared/draw/still.ts";

describe("a drawing that keeps still", () => {
  it("is worked out once for all that is told of it, and anew for anything else", () => {
    let times = 0;
    const draw = still((props: { width: number; hanks: readonly { fill: number }[] }) => {
      times += 1;
      return h("path", { d: `${props.width} ${props.hanks.length}` }) as VNode;
    });
    const first = draw({ width: 9, hanks: [{ fill: 0.5 }] });
    expect(draw({ width: 9, hanks: [{ fill: 0.5 }] })).toBe(first);
    expect(times).toBe(1);
    expect(draw({ width: 9, hanks: [{ fill: 0.6 }] })).not.toBe(first);
    expect(times).toBe(2);
  });

  it("keeps the ones used last and lets go of the others", () => {
    let times = 0;
    const draw = still((props: { width: number }) => {
      times += 1;
      return h("path", { d: `${props.width}` }) as VNode;
    });
    for (let width = 0; width < 1000; width += 1) {
      draw({ width });
      draw({ width: 0 });
    }
    expect(times).toBe(1000);
    draw({ width: 1 });
    expect(times).toBe(1001);
  });
});
