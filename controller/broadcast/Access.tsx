import { useState } from "preact/hooks";
import type { PartProps } from "./part.ts";

/** Where the broadcasting software listens, and its password, which is typed and never shown. */
export function Access({ report, desk, say }: PartProps) {
  const [address, setAddress] = useState(report.address ?? "127.0.0.1:4455");
  const [password, setPassword] = useState("");
  return (
    <form
      class="broadcast-part"
      aria-labelledby="broadcast-link"
      onSubmit={(event) => {
        event.preventDefault();
        const body = password === "" ? { address } : { address, password };
        setPassword("");
        say(desk.tell("PUT", "/access", "Kept. Pourside is calling.", body));
      }}
    >
      <h3 id="broadcast-link">Link</h3>
      <label class="name-field">
        <span>Address</span>
        <input
          type="text"
          dir="ltr"
          maxLength={300}
          autocomplete="off"
          value={address}
          onInput={(event) => setAddress(event.currentTarget.value)}
        />
      </label>
      <label class="name-field">
        <span>Password</span>
        <input
          type="password"
          dir="ltr"
          maxLength={300}
          autocomplete="off"
          placeholder={report.passwordKept ? "a password is kept" : ""}
          value={password}
          onInput={(event) => setPassword(event.currentTarget.value)}
        />
      </label>
      <p class="lead">
        Switch the WebSocket server on in the broadcasting software: it shows port and password
        there. They stay on Pourside's computer, in a file that only its owner may read.
      </p>
      <div class="row">
        <button type="submit" class="green-button">
          Connect
        </button>
        {report.address !== null && (
          <button
            type="button"
            class="quiet-button"
            onClick={() =>
              say(desk.tell("DELETE", "/access", "Address and password are forgotten."))
            }
          >
            Forget both
          </button>
        )}
      </div>
    </form>
  );
}
