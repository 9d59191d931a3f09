declare module "webvtt-parser" {
  type Parsed = {
    cues: { startTime: number; endTime: number; text: string }[];
    errors: { message: string; line: number }[];
  };
  export class WebVTTParser {
    constructor(entities?: Readonly<Record<string, string>>);
    parse(text: string, mode: "captions" | "chapters"): Parsed;
  }
}
