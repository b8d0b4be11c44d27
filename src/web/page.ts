import type { ComponentChildren } from 'preact';
import type { StaffRow } from '../store/views/types.js';
import type { Web } from './deps.js';
import type { Form } from './form.js';
import type { Permission } from './roles.js';
import type { Words } from './wording.js';

/** What a page is asked: who asks, in which language, when, and with what. */
export interface Ask {
  readonly deps: Web;
  readonly staff: StaffRow;
  /** The clinic whose families this member of staff may see; null: all. */
  readonly clinicId: string | null;
  readonly words: Words;
  /** ms; one instant for the whole page. */
  readonly now: number;
  /** The zone times are shown in when a row brings none of its own. */
  readonly zone: string;
  /** Path and query of this page, to come back to. */
  readonly path: string;
  readonly params: Readonly<Record<string, string>>;
  readonly query: URLSearchParams;
  /** Empty for a GET. */
  readonly form: Form;
  /** Goes into every form of the page. */
  readonly csrf: string;
}

export interface Shown {
  readonly kind: 'page';
  readonly title: string;
  readonly body: ComponentChildren;
  readonly status?: number;
  /** Which entry of the menu this is under. */
  readonly under?: string;
  readonly isWide?: boolean;
}

/** What a page answers. The shell turns it into HTTP. */
export type Answer =
  | Shown
  /** See other: after a form, so that reloading does not repeat it. `said` is a key of `said.*` shown there. */
  | { readonly kind: 'go'; readonly to: string; readonly said?: string }
  | { readonly kind: 'missing' }
  /** News for the script of a page, one JSON value at a time, until the browser goes. `begin` returns how to stop. */
  | { readonly kind: 'news'; readonly begin: (tell: (value: unknown) => void) => () => void }
  | { readonly kind: 'data'; readonly value: unknown }
  /** A piece of text for the script of a page. */
  | { readonly kind: 'text'; readonly body: string }
  | { readonly kind: 'file'; readonly type: string; readonly name: string; readonly body: string };

/** One address, one method, who may, and what happens. The table of these is the whole of the staff's web. */
export interface PageRoute {
  readonly method: 'GET' | 'POST';
  /** Express path, for example `/flags/:id`. */
  readonly path: string;
  /** `anyone`: every signed-in member of staff. */
  readonly needs: Permission | 'anyone';
  /** Asked by a script on its own: does not keep the session alive. */
  readonly isBackground?: boolean;
  readonly answer: (ask: Ask) => Promise<Answer>;
}
