import { useCallback, useEffect, useMemo, useState } from "preact/hooks";
import type { SessionLine } from "../../shared/session/wire.ts";
import { useLink } from "../link/context.tsx";
import { type Addresses, deskOf } from "./desk.ts";

/** The sessions in the record and the addresses, asked for anew when the bench changes. */
export function useDesk(token: string) {
  const desk = useMemo(() => deskOf(token), [token]);
  const { state } = useLink();
  const [sessions, setSessions] = useState<readonly SessionLine[] | null>(null);
  const [addresses, setAddresses] = useState<Addresses | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const refresh = useCallback(async () => {
    const [lines, places] = await Promise.all([desk.sessions(), desk.addresses()]);
    if (lines.ok) setSessions(lines.value);
    if (places.ok) setAddresses(places.value);
    setTrouble(!lines.ok ? lines.say : !places.ok ? places.say : null);
  }, [desk]);
  useEffect(() => {
    void refresh();
  }, [refresh, state?.session, state?.phase]);
  return { desk, sessions, addresses, trouble, refresh };
}
