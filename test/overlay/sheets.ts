/** Names that try a layout: 40 letters, markup, right to left, emoji, one word without a break. */
export const hardNames = {
  forty: "Northeasterly Saltmarsh and Lantern Glow",
  wide: "WMWMWMWMWMWMWMWMWMWMWMWMWMWMWMWMWMWMWMWM",
  markup: "<b>Tide</b> <img src=x onerror=alert(1)>",
  rightToLeft: "אור המגדלור של הנמל הישן בערב",
  emoji: "Harbour 🧶🌊👩🏽‍🔬 dusk",
} as const;

/** A session of many skeins in one pan, with names and amounts at the far ends of what may be. */
export function hardSheet(skeins: number) {
  const names = Object.entries(hardNames);
  const quay = { id: "quay", name: hardNames.forty, superwash: true, hex: "#efe6d6" };
  return {
    pourSheet: 1,
    name: `${hardNames.forty} ${hardNames.forty}`.slice(0, 80),
    dyes: names.map(([id, name], at) => ({
      id,
      name,
      swatch: { hex: ["#2e6e86", "#fdfdfb", "#0b0b0d", "#d39a2c", "#a9adab"][at], depthPct: 1 },
    })),
    bases: [
      { ...quay, fibres: [{ fibre: "wool", pct: 100 }] },
      { ...quay, id: "creel", fibres: [{ fibre: "wool", pct: 100 }] },
      { ...quay, id: "weir", fibres: [{ fibre: "wool", pct: 100 }] },
    ],
    stocks: names.map(([id, name]) => ({
      id,
      name,
      mL: 20_000,
      dyes: [{ dye: id, strengthPct: 0.125 }],
    })),
    colourways: names.map(([id, name]) => ({ id, name })),
    pans: [
      { id: "A", name: hardNames.forty, capacityMl: 40_000, waterMl: 9000 },
      { id: "B", name: hardNames.rightToLeft, capacityMl: 3000, waterMl: 1500 },
    ],
    skeins: Array.from({ length: skeins }, (_, at) => ({
      id: `s${at + 1}`,
      name: at % 2 === 0 ? `${hardNames.forty.slice(0, 36)} ${at + 1}` : String(at + 1),
      base: ["quay", "creel", "weir"][at % 3],
      g: 50 + (at % 7),
      colourway: names[at % names.length]?.[0],
      pan: "A",
    })),
    steps: [
      ...names.map(([id]) => ({
        kind: "pour",
        stock: id,
        pan: "A",
        amount: { mL: 1250 },
        technique: "painted",
        coveragePct: 35,
        placement: `${hardNames.forty}, ${hardNames.forty}, ${hardNames.forty}, and so on`,
      })),
      { kind: "pour", stock: "wide", pan: "A", amount: { drops: 1, dropMl: 0.05 } },
      { kind: "pour", stock: "wide", pan: "A", skeins: { s1: 1, s2: 9 }, amount: { mL: 99.9 } },
      { kind: "pour", powder: "wide", pan: "A", amount: { g: 1234.5, plusMinusG: 99.5 } },
      {
        kind: "add",
        pan: "A",
        what: "acid",
        label: hardNames.wide,
        amount: { mL: 12_345.6 },
      },
      {
        kind: "steam",
        pan: "A",
        minutes: 1440,
        celsius: 98,
        waitingFor: `${hardNames.forty} ${hardNames.forty}`,
        wait: true,
      },
    ],
    presetsMl: [1, 5],
  };
}
