import { join } from "node:path";
import { renderUnicodeCompact } from "uqr";
import { RecordProblem } from "./record/record.ts";
import { RelayProblem, type RunningRelay, startRelay } from "./relay/relay.ts";
import { type RelayRole, readSettings, type Settings } from "./settings.ts";
import { home, type Running, StartProblem, start } from "./start.ts";

const settings = readSettings(process.argv.slice(2), process.env, home);
if ("code" in settings) {
  console.error(settings.say);
  process.exit(1);
}

try {
  if (settings.role) await relay(settings, settings.role);
  else await bench(settings);
} catch (error) {
  if (
    error instanceof RecordProblem ||
    error instanceof StartProblem ||
    error instanceof RelayProblem
  ) {
    console.error(error.message);
    process.exit(1);
  }
  throw error;
}

async function bench(settings: Settings): Promise<void> {
  const running = await start(settings, sayCode);
  stopWhenAsked(running);
  welcome(running);
  offerNewCodes(running);
}

async function relay({ port, host, data }: Settings, role: RelayRole): Promise<void> {
  const running = await startRelay({
    port,
    host,
    data,
    ...role,
    pages: join(home, "dist", "pages"),
  });
  stopWhenAsked(running);
  welcomeRelay(running, host);
}

function welcomeRelay({ port, newKey }: RunningRelay, host: string): void {
  const lines = [
    "",
    "Pourside's relay is ready.",
    "",
    `  It listens on ${host} port ${port}, for a bench that dials in and for all who follow.`,
    "",
    ...(newKey === null ? [] : ["  Key for the bench, said this once", `    ${newKey}`, ""]),
    "Ctrl+C ends.",
    "",
  ];
  console.log(lines.join("\n"));
}

function welcome(running: Running): void {
  const { controller, overlay, follow } = running.addresses();
  const code = running.pairingCode();
  const [first = ""] = controller;
  const lines = [
    "",
    "Pourside is ready.",
    "",
    "  Controller, on the tablet at the bench",
    ...controller.map((address) => `    ${address}`),
    `    pairing code ${code}, good for 10 minutes`,
    "",
    indent(renderUnicodeCompact(`${first}#pair=${code}`, { border: 2 })),
    "",
    "  Overlay, to paste into a browser source of 1920 x 1080",
    `    ${overlay}`,
    "",
    "  Follow page, for viewers on this network",
    ...follow.map((address) => `    ${address}`),
    "",
    "  Record",
    `    ${running.record.file}`,
    "",
    process.stdin.isTTY
      ? "Enter gives a new pairing code. Ctrl+C ends; the record keeps all."
      : "Ctrl+C ends; the record keeps all.",
    "",
  ];
  console.log(lines.join("\n"));
}

function sayCode(code: string): void {
  console.log(`New pairing code: ${code}, good for 10 minutes.`);
}

function offerNewCodes(running: Running): void {
  if (!process.stdin.isTTY) return;
  process.stdin.on("data", () => sayCode(running.newPairingCode()));
}

function stopWhenAsked(running: { close(): Promise<void> }): void {
  let stopping = false;
  const stop = () => {
    if (stopping) return;
    stopping = true;
    void running.close().then(() => process.exit(0));
  };
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.on(signal, stop);
  if (process.env.npm_lifecycle_event === undefined) return;
  // npm passes a signal on to the shell between, which does not pass it on to us: we are then
  // orphaned, and nobody is left who could end us.
  const parent = process.ppid;
  const watch = () => {
    if (process.ppid !== parent) stop();
  };
  setInterval(watch, 500).unref();
}

function indent(text: string): string {
  return text.replaceAll(/^/gm, "    ");
}
