import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createConnection, createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { OBSWebSocket } from "obs-websocket-js/json";
import { password, pause, until } from "./bench.ts";

export const screen = { width: 1280, height: 720, fps: 30 };

const found = (program: string) => spawnSync("which", [program]).status === 0;
const needed = ["obs", "Xvfb", "ffmpeg", "chromium"];
/** What is missing here for trying a real broadcaster. */
export const lacking = process.platform === "linux" ? needed.filter((one) => !found(one)) : needed;

/** A real broadcaster on a display of its own, with a home of its own. */
export class Studio {
  private obs: ChildProcess | null = null;

  private constructor(
    private readonly xvfb: ChildProcess,
    readonly display: string,
    readonly home: string,
    readonly port: number,
  ) {}

  /** Makes the display and the home; the broadcaster is not started yet. */
  static async prepare(): Promise<Studio> {
    const size = `${screen.width}x${screen.height}x24`;
    const xvfb = spawn("Xvfb", ["-displayfd", "3", "-screen", "0", size, "-nolisten", "tcp"], {
      stdio: ["ignore", "ignore", "ignore", "pipe"],
    });
    const out = xvfb.stdio[3];
    if (!out) throw new Error("The display says nothing.");
    const [number] = await once(out, "data");
    const home = mkdtempSync(join(tmpdir(), "pourside-studio-"));
    const studio = new Studio(xvfb, `:${String(number).trim()}`, home, await freePort());
    studio.write();
    return studio;
  }

  get address(): string {
    return `ws://127.0.0.1:${this.port}`;
  }

  /** Starts the broadcaster, and gives back the moment at which its port opened (performance.now). */
  async start(): Promise<number> {
    this.obs = spawn("obs", ["--multi", "--disable-updater", "--disable-missing-files-check"], {
      stdio: "ignore",
      env: {
        ...process.env,
        HOME: this.home,
        XDG_CONFIG_HOME: join(this.home, ".config"),
        DISPLAY: this.display,
        LIBGL_ALWAYS_SOFTWARE: "1",
        QT_QPA_PLATFORM: "xcb",
      },
    });
    await until(() => this.answers(), 30_000);
    return performance.now();
  }

  async stop(signal: "SIGTERM" | "SIGKILL" = "SIGTERM"): Promise<void> {
    const { obs } = this;
    this.obs = null;
    if (!obs || obs.exitCode !== null || obs.signalCode !== null) return;
    const gone = once(obs, "exit");
    obs.kill(signal);
    const late = setTimeout(() => obs.kill("SIGKILL"), 8_000);
    await gone;
    clearTimeout(late);
  }

  async end(): Promise<void> {
    await this.stop();
    const gone = once(this.xvfb, "exit");
    this.xvfb.kill();
    await gone;
    rmSync(this.home, { recursive: true, force: true, maxRetries: 3 });
  }

  /** A second line to the broadcaster: the hand of somebody who sits at it. */
  async hand(): Promise<OBSWebSocket> {
    const hand = new OBSWebSocket();
    for (let round = 0; ; round++) {
      try {
        await hand.connect(this.address, password, { rpcVersion: 1 });
        await hand.call("GetSceneList");
        return hand;
      } catch (error) {
        // It answers with "not ready" while it loads its scenes.
        if (round > 40) throw error;
        await pause(250);
      }
    }
  }

  private answers(): Promise<boolean> {
    return new Promise((answered) => {
      const socket = createConnection(this.port, "127.0.0.1");
      socket.once("connect", () => {
        socket.destroy();
        answered(true);
      });
      socket.once("error", () => answered(false));
    });
  }

  private write(): void {
    const config = join(this.home, ".config", "obs-studio");
    const profile = join(config, "basic", "profiles", "Untitled");
    mkdirSync(profile, { recursive: true });
    const global = `[General]
FirstRun=true
LastVersion=486539266
InfoIncrement=0
EnableAutoUpdates=false

[OBSWebSocket]
FirstLoad=false
ServerEnabled=true
ServerPort=${this.port}
AlertsEnabled=false
AuthRequired=true
ServerPassword=${password}
`;
    writeFileSync(join(config, "global.ini"), global, { mode: 0o600 });
    // A recording of its own quality, because one that shares the stream's encoder cannot pause.
    const basic = `[General]
Name=Untitled

[Video]
BaseCX=${screen.width}
BaseCY=${screen.height}
OutputCX=${screen.width / 2}
OutputCY=${screen.height / 2}
FPSCommon=${screen.fps}

[Output]
Mode=Simple

[SimpleOutput]
FilePath=${this.home}
RecFormat=mkv
RecQuality=Small
RecEncoder=x264
Preset=ultrafast
`;
    writeFileSync(join(profile, "basic.ini"), basic);
  }
}

export async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
  const address = server.address();
  await new Promise<void>((done) => server.close(() => done()));
  if (typeof address !== "object" || !address) throw new Error("There is no free port.");
  return address.port;
}

/** Length of a recording's picture, ms. */
export function lengthMs(file: string): number {
  return (frames(file, 16, 9).length / screen.fps) * 1000;
}

/** Every frame of a recording or a picture, as shades of grey of this size. */
export function frames(file: string, width = 160, height = 90): Buffer[] {
  const { stdout, status, stderr } = spawnSync(
    "ffmpeg",
    [
      "-v",
      "error",
      "-i",
      file,
      "-vf",
      `scale=${width}:${height}:flags=area`,
      "-pix_fmt",
      "gray",
      "-f",
      "rawvideo",
      "-",
    ],
    { maxBuffer: 2 ** 28 },
  );
  if (status !== 0) throw new Error(String(stderr));
  const size = width * height;
  return Array.from({ length: Math.floor(stdout.length / size) }, (_, i) =>
    stdout.subarray(i * size, (i + 1) * size),
  );
}

/** Mean difference of two pictures, in shades of 255. */
export function difference(a: Buffer, b: Buffer): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += Math.abs((a[i] ?? 0) - (b[i] ?? 0));
  return sum / a.length;
}
