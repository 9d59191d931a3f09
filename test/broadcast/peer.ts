import { createHash, randomBytes } from "node:crypto";
import type { AddressInfo } from "node:net";
import { type WebSocket, WebSocketServer } from "ws";

type Data = Record<string, unknown>;
export type Asked = { type: string; data: Data };
/** An answer, or a refusal with the protocol's code. */
export type Answered = Data | { refused: number; comment: string };

const sha = (text: string) => createHash("sha256").update(text).digest("base64");

/**
 * A small peer that speaks the broadcasting software's WebSocket protocol 5 as it is published: it
 * greets, asks for a password, answers requests by the table it is given, and tells of events.
 */
export class Peer {
  readonly asked: Asked[] = [];
  readonly answers = new Map<string, (data: Data) => Answered>();
  private readonly sockets = new Set<WebSocket>();
  refusedPasswords = 0;
  greeted = 0;
  /** While true, no request is answered. */
  mute = false;

  private constructor(
    private readonly server: WebSocketServer,
    private readonly password: string,
  ) {}

  static async open(password: string, port = 0): Promise<Peer> {
    const server = new WebSocketServer({
      port,
      host: "127.0.0.1",
      handleProtocols: (offered) =>
        offered.has("obswebsocket.json") ? "obswebsocket.json" : false,
    });
    await new Promise<void>((ready) => server.once("listening", ready));
    const peer = new Peer(server, password);
    server.on("connection", (socket) => peer.greet(socket));
    peer.answer("GetInputKindList", () => ({ inputKinds: ["browser_source", "text_ft2_source"] }));
    peer.answer("GetInputList", () => ({ inputs: [] }));
    peer.answer("GetVideoSettings", () => ({ baseWidth: 1920, baseHeight: 1080 }));
    peer.answer("GetSceneList", () => ({
      currentProgramSceneName: "Bench",
      scenes: [{ sceneName: "Bench" }],
    }));
    peer.answer("GetCurrentProgramScene", () => ({ currentProgramSceneName: "Bench" }));
    const idle = { outputActive: false, outputDuration: 0, outputPaused: false };
    peer.answer("GetRecordStatus", () => idle);
    peer.answer("GetStreamStatus", () => idle);
    return peer;
  }

  get port(): number {
    return (this.server.address() as AddressInfo).port;
  }

  get address(): string {
    return `ws://127.0.0.1:${this.port}`;
  }

  answer(type: string, how: (data: Data) => Answered): void {
    this.answers.set(type, how);
  }

  tell(eventType: string, eventData: Data): void {
    for (const socket of this.sockets) send(socket, 5, { eventType, eventIntent: 1, eventData });
  }

  of(type: string): Data[] {
    return this.asked.filter((one) => one.type === type).map(({ data }) => data);
  }

  async close(): Promise<void> {
    for (const socket of this.server.clients) socket.terminate();
    await new Promise<void>((done) => this.server.close(() => done()));
  }

  private greet(socket: WebSocket): void {
    this.greeted += 1;
    const salt = randomBytes(8).toString("base64");
    const challenge = randomBytes(8).toString("base64");
    send(socket, 0, {
      obsWebSocketVersion: "5.5.0",
      rpcVersion: 1,
      authentication: { salt, challenge },
    });
    socket.on("message", (raw) => {
      const { op, d } = JSON.parse(String(raw)) as { op: number; d: Data };
      if (op === 1) {
        if (d.authentication !== sha(sha(this.password + salt) + challenge)) {
          this.refusedPasswords += 1;
          socket.close(4009, "Authentication failed.");
          return;
        }
        this.sockets.add(socket);
        socket.on("close", () => this.sockets.delete(socket));
        send(socket, 2, { negotiatedRpcVersion: 1 });
      } else if (op === 6) this.reply(socket, d);
    });
  }

  private reply(socket: WebSocket, d: Data): void {
    const requestType = String(d.requestType);
    const data = (d.requestData ?? {}) as Data;
    this.asked.push({ type: requestType, data });
    if (this.mute) return;
    const how = this.answers.get(requestType);
    const answered =
      requestType === "GetVersion"
        ? { availableRequests: [...this.answers.keys()] }
        : (how?.(data) ?? { refused: 204, comment: "Unknown request type." });
    const refused = "refused" in answered;
    send(socket, 7, {
      requestType,
      requestId: d.requestId,
      requestStatus: refused
        ? { result: false, code: answered.refused, comment: answered.comment }
        : { result: true, code: 100 },
      ...(refused ? {} : { responseData: answered }),
    });
  }
}

function send(socket: WebSocket, op: number, d: Data): void {
  socket.send(JSON.stringify({ op, d }));
}
