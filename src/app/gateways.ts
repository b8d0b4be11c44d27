import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import type { Gateway, Surroundings } from '../gateways/gateway.js';
import { GatewaySettingsError, openGateways } from '../gateways/registry.js';
import { SaidFault } from './said-fault.js';
import { ANY_NUMBER, type WaySettings } from './ways.js';

const file = z.strictObject({
  gateways: z.array(
    z.looseObject({
      name: z.string(),
      kind: z.string(),
      /** What one part costs, by the beginning of the number; a gateway carries only what is listed. Default: all. */
      prices: z
        .record(
          z.string().regex(/^\+\d*$/, 'begins with + and a country code, or is + alone'),
          z.number().min(0),
        )
        .optional(),
      /** Smaller goes first among equals in cost. */
      order: z.number().int().optional(),
    }),
  ),
});
export type GatewayList = z.infer<typeof file>;

/** Reads the file named by TOELINE_GATEWAYS. Throws a SaidFault that says what to mend. */
export function readGatewayFile(path: string): GatewayList {
  let content: unknown;
  try {
    content = parse(readFileSync(path, 'utf8'));
  } catch (error) {
    throw new SaidFault(`the gateways’ file ${path} cannot be read: ${(error as Error).message}`, 2);
  }
  const result = file.safeParse(content);
  if (result.success) return result.data;
  throw new SaidFault(`the gateways’ file ${path} cannot be used:\n${z.prettifyError(result.error)}`, 2);
}

/** Opens every gateway of the list, with its way of being chosen beside it. */
export function openWays(
  list: GatewayList,
  environment: NodeJS.ProcessEnv,
  around: Surroundings,
): { gateways: ReadonlyMap<string, Gateway>; settings: readonly WaySettings[] } {
  try {
    const own = list.gateways.map(({ prices: _prices, order: _order, ...rest }) => rest);
    const settings = list.gateways.map(({ name, prices, order }) => ({
      gateway: name,
      prices: prices ?? ANY_NUMBER,
      order: order ?? 0,
    }));
    return { gateways: openGateways(own, environment, around), settings };
  } catch (error) {
    if (error instanceof GatewaySettingsError) throw new SaidFault(error.message, 2);
    throw error;
  }
}
