import { type IncomingHttpHeaders, request } from "node:http";
import { connect } from "node:net";
import { WebSocket } from "ws";
import { pause, until } from "./house.ts";

/** A connection to the server's sockets that speaks every frame by hand, right or wrong. */
export type Wire = {
  /** Text frames received so far. */
  frames: string[];
  /** True once the server has hung up, or never took the connection. */
  closed(): boolean;
  /** Answers of the server to the upgrade; 101 where it was taken. */
  status(): number;
  /** Headers of the server's answer to the upgrade. */
  headers(): IncomingHttpHeaders;
  send(frame: string | Buffer): void;
  /** Until a frame starts so. */
  hears(start: string): Promise<string>;
  close(): void;
};

const socketPath = "/socket.io/?EIO=4&transport=websocket";

export function openWire(address: string, headers: Record<string, string> = {}): Wire {
  const socket = new WebSocket(address.replace("http", "ws") + socketPath, { headers });
  const frames: string[] = [];
  let over = false;
  let status = 0;
  let said: IncomingHttpHeaders = {};
  socket.on("upgrade", (response) => {
    status = response.statusCode ?? 0;
    said = response.headers;
  });
  socket.on("unexpected-response", (asked, response) => {
    status = response.statusCode ?? 0;
    said = response.headers;
    over = true;
    asked.destroy();
  });
  socket.on("message", (data, binary) => {
    if (!binary) frames.push(String(data));
    if (String(data) === "2") socket.send("3");
  });
  socket.on("close", () => {
    over = true;
  });
  socket.on("error", () => {
    over = true;
  });
  return {
    frames,
    closed: () => over,
    status: () => status,
    headers: () => said,
    send: (frame) => {
      if (socket.readyState === WebSocket.OPEN) socket.send(frame);
    },
    hears: async (start) => {
      const found = () => frames.find((frame) => frame.startsWith(start));
      await until(() => found() !== undefined || over, `a frame ${start}`);
      const frame = found();
      if (frame === undefined) throw new Error(`the server hung up before it sent ${start}`);
      return frame;
    },
    close: () => socket.terminate(),
  };
}

/** A wire on which the server's greeting was heard. */
export async function greeted(address: string): Promise<Wire> {
  const wire = openWire(address);
  await wire.hears("0");
  return wire;
}

/** A wire that has joined a space with what it says of itself; fails where it is not let in. */
export async function joined(address: string, space: string, auth: unknown): Promise<Wire> {
  const wire = await greeted(address);
  wire.send(`40${space},${JSON.stringify(auth)}`);
  await wire.hears(`40${space},`);
  return wire;
}

export type RawAnswer = { status: number; headers: IncomingHttpHeaders; text: string };

/** An HTTP request whose path, Host and Origin go out as they are given. */
export function rawRequest(
  address: string,
  path: string,
  {
    method = "GET",
    headers = {},
    body,
  }: { method?: string; headers?: Record<string, string>; body?: string } = {},
): Promise<RawAnswer> {
  const { hostname, port } = new URL(address);
  return new Promise((resolve, reject) => {
    const asked = request({ hostname, port, path, method, headers, agent: false }, (response) => {
      let text = "";
      response.setEncoding("utf8");
      response.on("data", (part) => {
        text += part;
      });
      response.on("end", () =>
        resolve({ status: response.statusCode ?? 0, headers: response.headers, text }),
      );
    });
    asked.on("error", reject);
    asked.end(body);
  });
}

/** Bytes as they are on a connection of their own; what came back, if anything, by then. */
export async function rawBytes(address: string, bytes: string | Buffer, ms = 50): Promise<string> {
  const { hostname, port } = new URL(address);
  const socket = connect(Number(port), hostname);
  let text = "";
  let over = false;
  socket.on("data", (part) => {
    text += part;
  });
  socket.on("error", () => {
    over = true;
  });
  socket.on("close", () => {
    over = true;
  });
  socket.write(bytes);
  const end = performance.now() + ms;
  while (!over && performance.now() < end) await pause(5);
  socket.destroy();
  return text;
}
