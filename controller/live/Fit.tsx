import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";

/** What a {@link Fit} holds. */
export interface FitProps {
  class: string;
  /** Draws for the room there is, px. */
  children: (width: number, height: number) => ComponentChildren;
}

/** A box that tells what it holds how large it is: drawings are made for their size. */
export function Fit(props: FitProps) {
  const box = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const element = box.current;
    if (!element) return;
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = element;
      setSize((was) => (was.width === width && was.height === height ? was : { width, height }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return (
    <div class={props.class} ref={box}>
      {size.width > 0 && props.children(size.width, size.height)}
    </div>
  );
}
