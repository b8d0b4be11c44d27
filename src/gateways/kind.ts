import type { z } from 'zod';
import type { Gateway, Surroundings } from './gateway.js';

/** A kind of gateway, its configuration's shape hidden behind one function, so that kinds fit one table. */
export interface GatewayKind {
  readonly kind: string;
  /** Checks the configuration without opening anything: faults as sentences, or a function that opens it. */
  prepare(
    name: string,
    config: unknown,
  ): { readonly faults: readonly string[] } | { open(around: Surroundings): Gateway };
}

/** Describes a kind by the strict shape of its settings and how to open it. Opening must not wait for the network. */
export function describeKind<Shape extends z.ZodType>(kind: {
  readonly kind: string;
  readonly schema: Shape;
  readonly open: (name: string, config: z.output<Shape>, around: Surroundings) => Gateway;
}): GatewayKind {
  return {
    kind: kind.kind,
    prepare(name, config) {
      const checked = kind.schema.safeParse(config);
      if (!checked.success) return { faults: checked.error.issues.map((issue) => sentence(issue)) };
      return { open: (around) => kind.open(name, checked.data, around) };
    },
  };
}

function sentence(issue: z.core.$ZodIssue): string {
  const where = issue.path.length === 0 ? '' : `${issue.path.join('.')}: `;
  return `${where}${issue.message}`;
}
