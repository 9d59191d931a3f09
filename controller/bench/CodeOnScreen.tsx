import { useEffect, useMemo, useState } from "preact/hooks";
import type { Command } from "../../shared/session/command.ts";
import { Words } from "../form/Words.tsx";
import { type Addresses, deskOf } from "../sessions/desk.ts";
import { browserStore, readToken } from "../token.ts";
import { addressOf } from "./address.ts";
import { Choice } from "./Choice.tsx";

/** What {@link CodeOnScreen} is told. */
export interface CodeOnScreenProps {
  /** The address that is shown now. */
  code: string | undefined;
  act: (command: Command, done: string) => Promise<boolean>;
}

const none = "";
const spoken = (address: string) => address.replace(/^https?:\/\//, "");

/** Which address viewers are shown as a QR code: a follow page of this bench, or one typed in. */
export function CodeOnScreen({ code, act }: CodeOnScreenProps) {
  const desk = useMemo(() => deskOf(readToken(browserStore()) ?? ""), []);
  const [addresses, setAddresses] = useState<Addresses | null>(null);
  const [typed, setTyped] = useState("");
  const [wrong, setWrong] = useState<string | null>(null);
  useEffect(() => {
    let open = true;
    void desk.addresses().then((answer) => {
      if (open && answer.ok) setAddresses(answer.value);
    });
    return () => {
      open = false;
    };
  }, [desk]);
  const follow = addresses?.follow ?? [];
  const offered = code === undefined || follow.includes(code) ? follow : [...follow, code];
  const show = (address: string) =>
    act(
      { type: "showCode", address: address === none ? null : address },
      address === none ? "No code is on screen." : `On screen: a code to ${spoken(address)}.`,
    );
  const showTyped = async () => {
    const read = addressOf(typed);
    setWrong("say" in read ? read.say : null);
    if ("address" in read && (await show(read.address))) setTyped("");
  };
  return (
    <div class="code-choice">
      <Choice
        label="Code to the recipe, at the top right"
        columns={1}
        options={[
          { value: none, label: "No code" },
          ...offered.map((address) => ({
            value: address,
            label: spoken(address),
            note: noteOf(address, addresses),
          })),
        ]}
        chosen={code ?? none}
        onChoose={(address) => {
          setWrong(null);
          void show(address);
        }}
      />
      <form
        class="code-typed"
        onSubmit={(event) => {
          event.preventDefault();
          void showTyped();
        }}
      >
        <Words
          label="Another address"
          value={typed}
          onValue={(value) => {
            setTyped(value);
            setWrong(null);
          }}
          most={300}
          wrong={wrong}
          hint="Where you published the recipe. It is not shown beside tally and recap card."
        />
        <button type="submit" class="quiet-button">
          Show it
        </button>
      </form>
    </div>
  );
}

/** Whom an address reaches: one with a host of this bench reaches its network alone. */
function noteOf(address: string, addresses: Addresses | null): string {
  if (addresses === null || !addresses.follow.includes(address)) return "typed here";
  const host = new URL(address).host;
  const here = addresses.controller.some((one) => new URL(one).host === host);
  return here ? "follow page, on this network only" : "follow page, for everybody";
}
