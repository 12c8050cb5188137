import { Component, type ComponentChildren } from 'preact';
import { texts } from '../texts/texts.js';

interface GuardProps {
  readonly children: ComponentChildren;
}

/** Keeps a view that fails from taking the Silence control away. */
export class Guard extends Component<GuardProps, { broken: boolean }> {
  override state = { broken: false };

  static override getDerivedStateFromError(): { broken: boolean } {
    return { broken: true };
  }

  override render() {
    if (!this.state.broken) return this.props.children;
    return (
      <p class="banner" role="alert">
        {texts.value.shell.broken}
      </p>
    );
  }
}
