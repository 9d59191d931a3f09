import { start } from "../../server/start.ts";

/** Where the house is, and the code that lets a tablet in. */
export type Opened = { address: string; code: string };
/** How long each append to the record took, disk sync included, ms. */
export type Appended = { appendMs: readonly number[] };

// A server in a process of its own, as it runs in earnest, that tells at the end how the disk was.
const [data = ""] = process.argv.slice(2);
const running = await start({ port: 0, host: "127.0.0.1", data });
process.send?.({ address: running.address, code: running.pairingCode() } satisfies Opened);
process.once("message", async () => {
  const appendMs = [...running.record.appendMs()];
  await running.close();
  process.send?.({ appendMs } satisfies Appended, () => process.exit(0));
});
process.once("disconnect", () => process.exit(1));
