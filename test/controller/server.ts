import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Running, type Settings, start } from "../../server/start.ts";

/** A server on this machine with a record of its own, that can be stopped and started again. */
export class TestServer {
  private constructor(
    private running: Running | null,
    private readonly settings: Settings,
  ) {}

  static async begin(names: readonly string[] = []): Promise<TestServer> {
    const data = await mkdtemp(join(tmpdir(), "pourside-controller-"));
    const settings = { port: 0, host: "127.0.0.1", data, names };
    const running = await start(settings);
    return new TestServer(running, { ...settings, port: running.port });
  }

  get port(): number {
    return this.settings.port;
  }

  get address(): string {
    return `http://127.0.0.1:${this.settings.port}`;
  }

  get record() {
    if (!this.running) throw new Error("The server is stopped.");
    return this.running.record;
  }

  /** The token of a newly paired tablet. */
  async pair(): Promise<string> {
    if (!this.running) throw new Error("The server is stopped.");
    const response = await fetch(`${this.address}/api/pair`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code: this.running.newPairingCode() }),
    });
    const body: unknown = await response.json();
    if (typeof body === "object" && body !== null && "token" in body) return String(body.token);
    throw new Error(`Pairing failed: ${JSON.stringify(body)}`);
  }

  async stop(): Promise<void> {
    await this.running?.close();
    this.running = null;
  }

  /** Starts again on the same port with the same record. */
  async restart(): Promise<void> {
    this.running = await start(this.settings);
  }

  async end(): Promise<void> {
    await this.stop();
    await rm(this.settings.data, { recursive: true, force: true });
  }
}

/** Opens a pour sheet and puts it on the bench. */
export async function openSheet(server: TestServer, token: string, sheet: unknown): Promise<void> {
  const response = await fetch(`${server.address}/api/sessions`, {
    method: "POST",
    headers: { "Content-Type": "application/json", Authorization: `Bearer ${token}` },
    body: JSON.stringify(sheet),
  });
  if (response.status !== 201) throw new Error(await response.text());
}
