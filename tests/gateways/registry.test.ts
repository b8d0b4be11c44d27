import { describe, expect, test } from 'vitest';
import { GatewaySettingsError, openGateways } from '../../src/gateways/registry.js';
import { surroundings } from './webhook-request.js';

const faultsOf = (settings: unknown[], env: Record<string, string> = {}): readonly string[] => {
  try {
    openGateways(settings, env, surroundings());
  } catch (error) {
    if (error instanceof GatewaySettingsError) return error.faults;
    throw error;
  }
  return [];
};

describe('opening the gateways', () => {
  test('a secret named but not set refuses to start and says which variable to set', () => {
    const settings = [
      { name: 'pretend', kind: 'pretend', url: 'http://127.0.0.1:1', secret: { env: 'PRETEND_SECRET' } },
    ];
    const fault =
      'gateway "pretend": secret: the environment variable PRETEND_SECRET is not set; set it before starting';
    expect(faultsOf(settings)).toEqual([fault]);
    expect(faultsOf(settings, { PRETEND_SECRET: '' })).toEqual([fault]);
    expect(faultsOf(settings, { PRETEND_SECRET: 'sixteen characters' })).toEqual([]);
  });

  test('every fault of every gateway is told at once', () => {
    const faults = faultsOf([
      { name: 'one', kind: 'recorder', keepAtMots: 5 },
      { name: 'Two!', kind: 'recorder' },
      { name: 'three', kind: 'pigeon' },
      { name: 'one', kind: 'recorder' },
      { name: 'four', kind: 'pretend', url: 'not an address', secret: 'short' },
      'five',
    ]);
    expect(faults).toHaveLength(7);
    expect(faults.join('\n')).toMatch(/keepAtMots/);
    expect(faults.join('\n')).toMatch(
      /unknown kind "pigeon"; known kinds are recorder, pretend, twilio, smpp, http, modem/,
    );
    expect(faults.join('\n')).toMatch(/two gateways have this name/);
  });

  test('a good configuration opens each gateway under its name', async () => {
    const open = openGateways([{ name: 'dry-run', kind: 'recorder' }], {}, surroundings());
    expect([...open.keys()]).toEqual(['dry-run']);
    await open.get('dry-run')?.close();
  });
});
