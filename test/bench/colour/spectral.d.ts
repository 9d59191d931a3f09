declare module "spectral.js" {
  class Color {
    constructor(colour: string | number[]);
    readonly KS: number[];
    readonly XYZ: number[];
  }
  const spectral: { Color: typeof Color };
  export default spectral;
}
