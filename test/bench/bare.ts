import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { type WebSocket, WebSocketServer } from "ws";

/** Where the bare pages are. */
export type BareOpened = { address: string };

type Rect = { x: number; y: number; width: number; height: number };
/** The same places and the same size of text as on our own pages, px. */
export type BareLook = { button: Rect; box: Rect; textPx: number };

/** The least that can be done: a tap sends one message, the message is passed on and painted. */
const pages: Readonly<Record<string, (look: BareLook) => string>> = {
  "/tap": ({ button }) =>
    page(
      `button { ${placed(button)} }`,
      "<button>Poured</button>",
      `const socket = new WebSocket("ws://" + location.host);
       let taps = 0;
       document.querySelector("button").onclick = () => socket.send(String(++taps));`,
    ),
  "/box": ({ box, textPx }) =>
    page(
      `div { ${placed(box)} background: #1d2125; color: #f3ecdf; font: ${textPx}px sans-serif; }`,
      "<div>0 mL</div>",
      `const socket = new WebSocket("ws://" + location.host);
       const box = document.querySelector("div");
       socket.onmessage = ({ data }) => { box.textContent = data + " mL"; };`,
    ),
};

function page(style: string, body: string, script: string): string {
  return `<!doctype html><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<style>body { margin: 0; background: transparent; } ${style}</style>${body}<script>${script}</script>`;
}

function placed({ x, y, width, height }: Rect): string {
  return `position: absolute; left: ${x}px; top: ${y}px; width: ${width}px; height: ${height}px;`;
}

const http = createServer((request, response) => {
  const { pathname, searchParams } = new URL(request.url ?? "/", "http://bare.test");
  const made = pages[pathname];
  if (!made) {
    response.writeHead(404).end();
    return;
  }
  const look = JSON.parse(searchParams.get("look") ?? "{}") as BareLook;
  response.writeHead(200, { "Content-Type": "text/html" }).end(made(look));
});
const sockets = new WebSocketServer({ server: http });
sockets.on("connection", (socket: WebSocket) => {
  socket.on("message", (data, isBinary) => {
    for (const other of sockets.clients) {
      if (other !== socket) other.send(data, { binary: isBinary });
    }
  });
});
http.listen(0, "127.0.0.1", () => {
  const { port } = http.address() as AddressInfo;
  process.send?.({ address: `http://127.0.0.1:${port}` } satisfies BareOpened);
});
process.once("message", () => process.exit(0));
process.once("disconnect", () => process.exit(1));
