import { Component, type ErrorInfo, type ReactNode } from 'react'
import { report } from '../state/report.ts'
import { BrokenPage } from './broken.tsx'

type Props = {
  /** A place below the bar, or all of the page. */
  of: 'place' | 'page'
  /** When it changes, what is inside is drawn again: somebody went elsewhere. */
  now?: string
  children: ReactNode
}
type State = { broken: boolean; reference: string | null }

/** Where drawing fails, only this part is replaced by words; the rest of the page goes on. */
export class Boundary extends Component<Props, State> {
  override state: State = { broken: false, reference: null }

  static getDerivedStateFromError(): Partial<State> {
    return { broken: true }
  }

  override componentDidCatch(error: unknown, { componentStack }: ErrorInfo): void {
    void report('drawing', error, componentStack ?? '').then((reference) => this.setState({ reference }))
  }

  override componentDidUpdate(before: Props): void {
    if (this.state.broken && before.now !== this.props.now) this.goOn()
  }

  readonly goOn = (): void => this.setState({ broken: false, reference: null })

  override render(): ReactNode {
    const { broken, reference } = this.state
    return broken ? <BrokenPage of={this.props.of} reference={reference} goOn={this.goOn} /> : this.props.children
  }
}
