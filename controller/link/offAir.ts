import { createContext } from "preact";
import { type AfterCommand, afterSchema, type Command } from "../../shared/session/command.ts";

/** True where what is done is written into a session that has been closed. */
export const OffAirContext = createContext(false);

const written: ReadonlySet<string> = new Set(
  afterSchema.options.map(({ shape }) => shape.type.value),
);

/** A command of the bench as it is asked for once the session has been closed. */
export function afterwards(command: Command): Command {
  return isAfter(command) ? { type: "after", command } : command;
}

function isAfter(command: Command): command is Command & AfterCommand {
  return written.has(command.type);
}
