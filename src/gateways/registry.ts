import type { Gateway, Surroundings } from './gateway.js';
import { httpKind } from './http/http.js';
import type { GatewayKind } from './kind.js';
import { modemKind } from './modem/modem.js';
import { pretendKind } from './pretend/pretend.js';
import { recorderKind } from './recorder/recorder.js';
import { smppKind } from './smpp/smpp.js';
import { twilioKind } from './twilio/twilio.js';

/** Every kind of gateway there is; adding one is a folder and a line here. */
export const KINDS: readonly GatewayKind[] = [
  recorderKind,
  pretendKind,
  twilioKind,
  smppKind,
  httpKind,
  modemKind,
];

/** One gateway as configured: `name` is ours, `kind` picks the adapter, the rest is that adapter's own. */
export type GatewaySettings = { readonly name: string; readonly kind: string } & Readonly<
  Record<string, unknown>
>;

/** All faults of the gateways' configuration at once, each naming the gateway and what to do. */
export class GatewaySettingsError extends Error {
  constructor(readonly faults: readonly string[]) {
    super(`The gateways cannot start:\n${faults.map((fault) => `  - ${fault}`).join('\n')}`);
    this.name = 'GatewaySettingsError';
  }
}

/**
 * Opens every configured gateway, or none: throws GatewaySettingsError with every fault if any is wrong.
 * Wherever a value may stand, `{ env: "NAME" }` takes it from `env`, so that secrets stay out of files; a name that
 * is not set, or set to nothing, refuses to start.
 */
export function openGateways(
  settings: readonly unknown[],
  env: Readonly<Record<string, string | undefined>>,
  around: Surroundings,
): ReadonlyMap<string, Gateway> {
  const faults: string[] = [];
  const ready: [string, (around: Surroundings) => Gateway][] = [];
  const names = new Set<string>();
  settings.forEach((raw, index) => {
    const one = head(raw, index, names, faults);
    if (!one) return;
    const before = faults.length;
    const config = filled(one.config, env, `gateway "${one.name}"`, faults);
    if (faults.length > before) return;
    const prepared = one.kind.prepare(one.name, config);
    if ('faults' in prepared)
      faults.push(...prepared.faults.map((fault) => `gateway "${one.name}": ${fault}`));
    else ready.push([one.name, prepared.open]);
  });
  if (faults.length > 0) throw new GatewaySettingsError(faults);
  return new Map(ready.map(([name, open]) => [name, open(around)]));
}

/** Name and kind, which every gateway has; what is left is the kind's own. */
function head(raw: unknown, index: number, names: Set<string>, faults: string[]) {
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) {
    faults.push(
      `gateway ${index + 1}: expected settings with "name" and "kind", found ${JSON.stringify(raw)}`,
    );
    return undefined;
  }
  const { name, kind, ...config } = raw as Record<string, unknown>;
  if (typeof name !== 'string' || !/^[a-z0-9][a-z0-9-]{0,39}$/.test(name)) {
    faults.push(
      `gateway ${index + 1}: "name" must be 1 to 40 small letters, digits or hyphens (it ends the webhook's address), found ${JSON.stringify(name)}`,
    );
    return undefined;
  }
  if (names.has(name)) faults.push(`gateway "${name}": two gateways have this name; rename one`);
  names.add(name);
  const known = KINDS.find((one) => one.kind === kind);
  if (!known) {
    const kinds = KINDS.map((one) => one.kind).join(', ');
    faults.push(`gateway "${name}": unknown kind ${JSON.stringify(kind)}; known kinds are ${kinds}`);
    return undefined;
  }
  return { name, kind: known, config };
}

/** A copy of the settings with every `{ env: NAME }` replaced. */
function filled(
  value: unknown,
  env: Readonly<Record<string, string | undefined>>,
  where: string,
  faults: string[],
): unknown {
  if (Array.isArray(value)) return value.map((one, index) => filled(one, env, `${where}: ${index}`, faults));
  if (typeof value !== 'object' || value === null) return value;
  const keys = Object.keys(value);
  const named = (value as Record<string, unknown>).env;
  if (keys.length === 1 && typeof named === 'string') {
    const found = env[named];
    if (found === undefined || found === '') {
      faults.push(`${where}: the environment variable ${named} is not set; set it before starting`);
    }
    return found;
  }
  return Object.fromEntries(
    Object.entries(value).map(([key, inner]) => [key, filled(inner, env, `${where}: ${key}`, faults)]),
  );
}
