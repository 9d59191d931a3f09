/**
 * How the screen is being kept from sleeping: by the browser's wake lock, by a silent film that
 * plays where there is no wake lock (a page over plain http has none), or not at all: then the
 * film waits for the first touch, which browsers ask for before anything may play.
 */
export type Awake = "lock" | "film" | "touch" | "asleep";

export type Keeper = {
  state(): Awake;
  /** Ends everything. */
  end(): void;
};

const filmSeconds = 2;
const filmWidth = 64;
const filmHeight = 36;

/** Keeps the screen awake while the page is in sight, as well as this browser allows. */
export function keepAwake(onChange: () => void): Keeper {
  // Absent where the page is no secure context, whatever the type says.
  const locks: WakeLock | undefined = navigator.wakeLock;
  let state: Awake = locks ? "asleep" : "touch";
  let lock: WakeLockSentinel | null = null;
  let film: Film | null = null;
  let ended = false;

  const become = (next: Awake) => {
    if (ended || state === next) return;
    state = next;
    onChange();
  };
  const play = () => {
    film ??= new Film((playing) => become(playing ? "film" : "touch"));
    void film.play();
  };
  const fallBack = () => {
    if (lock === null) become(film?.playing === true ? "film" : "touch");
  };
  const seek = async () => {
    if (ended || document.visibilityState !== "visible") return;
    if (locks) {
      try {
        lock = await locks.request("screen");
        lock.onrelease = () => {
          lock = null;
          become("asleep");
        };
        become("lock");
        return;
      } catch {
        lock = null;
        fallBack();
      }
    }
    if (film) void film.play();
  };
  const touched = () => {
    if (lock === null && film?.playing !== true) {
      if (locks && state === "asleep") void seek();
      else play();
    }
  };
  const seen = () => {
    if (document.visibilityState === "visible" && lock === null) void seek();
  };
  document.addEventListener("visibilitychange", seen);
  // A press counts as a touch for browsers only once it is over.
  document.addEventListener("pointerup", touched);
  document.addEventListener("keydown", touched);
  void seek();

  return {
    state: () => state,
    end: () => {
      ended = true;
      document.removeEventListener("visibilitychange", seen);
      document.removeEventListener("pointerup", touched);
      document.removeEventListener("keydown", touched);
      void lock?.release();
      film?.end();
    },
  };
}

/**
 * A silent film of a plain wool-coloured picture, made by the browser itself so that no file is
 * needed. Browsers keep the screen on for a film that can be seen and has sound, so it lies as
 * large as the page behind it, has a track of silence and is not muted. It must not loop either:
 * WebKit lets the screen sleep over looping films. Shortly before its end it is set back.
 */
class Film {
  playing = false;
  private readonly video = document.createElement("video");
  private readonly tell: (playing: boolean) => void;
  private made: Promise<void> | null = null;
  private sound: AudioContext | null = null;
  private url: string | null = null;

  constructor(tell: (playing: boolean) => void) {
    this.tell = tell;
    const { video } = this;
    video.className = "awake-film";
    video.setAttribute("playsinline", "");
    video.setAttribute("aria-hidden", "true");
    video.tabIndex = -1;
    video.disableRemotePlayback = true;
    video.addEventListener("timeupdate", () => {
      if (video.srcObject === null && video.currentTime > filmSeconds * 0.6) video.currentTime = 0;
      this.set(!video.paused);
    });
    video.addEventListener("ended", () => void this.play());
    video.addEventListener("pause", () => this.set(false));
    document.body.prepend(video);
  }

  /** Plays, or goes on; called from a touch, without which browsers refuse. */
  async play(): Promise<void> {
    try {
      // The sound has to be opened within the touch itself.
      this.sound ??= new AudioContext();
      void this.sound.resume();
      this.made ??= this.make(this.sound);
      await this.made;
      await this.video.play();
      this.set(true);
    } catch {
      this.set(false);
    }
  }

  end(): void {
    this.video.pause();
    this.video.remove();
    if (this.url !== null) URL.revokeObjectURL(this.url);
    void this.sound?.close();
  }

  private set(playing: boolean): void {
    if (this.playing === playing) return;
    this.playing = playing;
    this.tell(playing);
  }

  private async make(sound: AudioContext): Promise<void> {
    const canvas = document.createElement("canvas");
    canvas.width = filmWidth;
    canvas.height = filmHeight;
    const brush = canvas.getContext("2d");
    let frame = 0;
    const paint = () => {
      if (!brush) return;
      // The picture has to change for frames to be made; nobody sees by how little.
      brush.fillStyle = frame % 2 === 0 ? "#f3ecdf" : "#f3ecde";
      brush.fillRect(0, 0, filmWidth, filmHeight);
      frame += 1;
    };
    paint();
    const stream = canvas.captureStream(10);
    const silence = sound.createGain();
    silence.gain.value = 0;
    const source = sound.createOscillator();
    const out = sound.createMediaStreamDestination();
    source.connect(silence).connect(out);
    source.start();
    for (const track of out.stream.getAudioTracks()) stream.addTrack(track);
    const brushing = setInterval(paint, 100);
    try {
      const blob = await recorded(stream);
      clearInterval(brushing);
      source.stop();
      for (const track of stream.getTracks()) track.stop();
      this.url = URL.createObjectURL(blob);
      this.video.src = this.url;
      await sound.close();
      this.sound = null;
    } catch {
      // Without a recorder the picture itself is shown as it is painted.
      this.video.srcObject = stream;
    }
  }
}

function recorded(stream: MediaStream): Promise<Blob> {
  return new Promise((resolve, reject) => {
    const recorder = new MediaRecorder(stream, { videoBitsPerSecond: 20_000 });
    const parts: Blob[] = [];
    recorder.ondataavailable = ({ data }) => parts.push(data);
    recorder.onerror = () => reject(new Error("The film could not be recorded."));
    recorder.onstop = () => {
      const blob = new Blob(parts, { type: recorder.mimeType });
      if (blob.size > 0) resolve(blob);
      else reject(new Error("The film is empty."));
    };
    recorder.start();
    setTimeout(() => {
      if (recorder.state !== "inactive") recorder.stop();
    }, filmSeconds * 1000);
  });
}
