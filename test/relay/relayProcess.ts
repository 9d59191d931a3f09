import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { startRelay } from "../../server/relay/relay.ts";

// One process of a relay, in earnest a process of its own, on the Redis and with the key it is given.
const [redis = "", key = ""] = process.argv.slice(2);
const data = mkdtempSync(join(tmpdir(), "pourside-relay-"));
const { port } = await startRelay({ port: 0, host: "127.0.0.1", data, key, redis, pages: data });
console.log(`port ${port}`);
