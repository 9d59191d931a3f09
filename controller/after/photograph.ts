import { useEffect, useState } from "preact/hooks";
import * as z from "zod";
import type { Picture } from "../../shared/colour/picture.ts";

const keptSchema = z.object({ photograph: z.string() });
const refusalSchema = z.object({ say: z.string() });

const away = "Pourside does not answer, so the photograph was not kept. Try again.";

export type Kept = { ok: true; photograph: string } | { ok: false; say: string };

/** How closely the small copy keeps to what the camera took, 0 to 1. */
const quality = 0.9;

/**
 * Keeps a photograph on the computer that runs Pourside. What is sent is drawn anew from its pixels,
 * so that place, time and camera are not in it. Never rejects.
 */
export async function keepPhotograph(token: string, pixels: Picture): Promise<Kept> {
  const body = await jpegOf(pixels);
  if (!body) return { ok: false, say: "This photograph cannot be drawn here. Try another one." };
  try {
    const response = await fetch("/api/photographs", {
      method: "POST",
      headers: { Authorization: `Bearer ${token}`, "Content-Type": body.type },
      body,
    });
    const json: unknown = await response.json();
    const kept = keptSchema.safeParse(json);
    if (response.ok && kept.success) return { ok: true, photograph: kept.data.photograph };
    const refusal = refusalSchema.safeParse(json);
    return { ok: false, say: refusal.success ? refusal.data.say : away };
  } catch {
    return { ok: false, say: away };
  }
}

function jpegOf({ width, height, data }: Picture): Promise<Blob | null> {
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext("2d");
  if (!context) return Promise.resolve(null);
  context.putImageData(new ImageData(new Uint8ClampedArray(data), width, height), 0, 0);
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
}

/**
 * Address of a kept photograph for an image on this page; `null` until it is here, and `missing` where
 * the computer does not have it, as after a session came from another one.
 */
export function usePhotograph(token: string, digest: string): string | null | "missing" {
  const [address, setAddress] = useState<string | null | "missing">(null);
  useEffect(() => {
    let made: string | null = null;
    let gone = false;
    const fetched = async () => {
      try {
        const response = await fetch(`/api/photographs/${digest}`, {
          headers: { Authorization: `Bearer ${token}` },
        });
        return response.ok ? await response.blob() : null;
      } catch {
        return null;
      }
    };
    void fetched().then((blob) => {
      if (gone) return;
      made = blob && URL.createObjectURL(blob);
      setAddress(made ?? "missing");
    });
    return () => {
      gone = true;
      if (made !== null) URL.revokeObjectURL(made);
    };
  }, [token, digest]);
  return address;
}
