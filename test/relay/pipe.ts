import { type AddressInfo, connect, createServer, type Server, type Socket } from "node:net";

/** A piece of the way that can be cut: passes on to the first of its ends that answers. */
export class Pipe {
  private readonly lines = new Set<Socket>();

  private constructor(
    private readonly server: Server,
    /** Ports it may lead to, in the order in which they are tried. */
    public ends: () => readonly number[],
  ) {}

  static async open(ends: () => readonly number[]): Promise<Pipe> {
    const server = createServer();
    const pipe = new Pipe(server, ends);
    server.on("connection", (near) => pipe.join(near, [...pipe.ends()]));
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    return pipe;
  }

  get address(): string {
    return `http://127.0.0.1:${(this.server.address() as AddressInfo).port}`;
  }

  private join(near: Socket, ends: number[]): void {
    const [end, ...others] = ends;
    near.on("error", () => near.destroy());
    if (end === undefined) {
      near.destroy();
      return;
    }
    const far = connect(end, "127.0.0.1");
    let joined = false;
    far.on("connect", () => {
      joined = true;
      this.lines.add(near);
      near.pipe(far).pipe(near);
    });
    far.on("error", () => {
      if (joined) near.destroy();
      else this.join(near, others);
    });
    far.on("close", () => {
      if (joined) near.destroy();
    });
    near.on("close", () => {
      this.lines.delete(near);
      far.destroy();
    });
  }

  /** Breaks every connection that goes through now. */
  cut(): void {
    for (const line of this.lines) line.destroy();
  }

  close(): void {
    this.cut();
    this.server.close();
  }
}
