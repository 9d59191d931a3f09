import { Component, type ComponentChildren } from "preact";

type StillProps = { of: readonly unknown[]; children: () => ComponentChildren };

/** Draws its children again only when something that they are made of is another one. */
export class Still extends Component<StillProps> {
  override shouldComponentUpdate(next: StillProps): boolean {
    const { of } = this.props;
    return of.length !== next.of.length || of.some((one, at) => !Object.is(one, next.of[at]));
  }

  override render({ children }: StillProps): ComponentChildren {
    return children();
  }
}
