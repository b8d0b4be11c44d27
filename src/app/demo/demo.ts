import type { StaffId } from '../../core/model/ids.js';
import { coreFrom } from '../../jobs/core-from-flows.js';
import { DEFAULT_OPTIONS } from '../../jobs/jobs.js';
import type { PretendNetworkClient } from '../../pretend-network/client.js';
import { moveClock, movedBy } from '../../store/moved-clock.js';
import type { Store } from '../../store/store.js';
import { build, openRecord, type Running } from '../build.js';
import { MovableClock } from '../clocks.js';
import type { CommandIo } from '../command-io.js';
import type { Config } from '../config.js';
import { loadFlows } from '../flows.js';
import { SaidFault } from '../said-fault.js';
import { servicesFor } from '../serve-command.js';
import { freePort } from '../services/ports.js';
import { startDemoNetwork } from './network.js';
import { readScenario, type Scenario, startOf } from './scenario.js';
import { seed } from './seed.js';
import { DemoTime } from './time.js';

export interface Demonstration {
  readonly running: Running;
  readonly clock: MovableClock;
  readonly time: DemoTime;
  readonly network: PretendNetworkClient;
  readonly scenario: Scenario;
  readonly staff: readonly { readonly id: StaffId; readonly name: string; readonly role: string }[];
  stop(): Promise<void>;
}

export interface DemoWanted {
  readonly config: Config;
  readonly dataFolder: string;
  readonly io: CommandIo;
}

/**
 * Starts the invented clinic on the very program a clinic runs: private servers, web and worker; only the gateway (the
 * pretend network) and the clock differ. An empty record is filled from the scenario, one that was left is gone on with.
 */
export async function startDemo(wanted: DemoWanted): Promise<Demonstration> {
  const { config, io } = wanted;
  const stops: (() => Promise<unknown>)[] = [];
  const stop = async () => {
    for (const one of stops.splice(0).reverse()) await one();
  };
  const note = (words: string, error?: unknown) => {
    if (error !== undefined)
      io.stderr.write(`${words} ${error instanceof Error ? error.message : String(error)}\n`);
  };
  try {
    const services = await servicesFor(config, io, wanted.dataFolder);
    stops.push(() => services.stop());
    const scenario = readScenario();
    const { clock, staff } = await filledRecord(services.databaseUrl, config, scenario, note);
    const port = config.TOELINE_PORT === 0 ? await freePort() : config.TOELINE_PORT;
    const network = await startDemoNetwork(`http://127.0.0.1:${port}`);
    stops.push(() => network.stop());
    await network.client.setAhead(clock.shiftMs);
    let time: DemoTime | undefined;
    const running = await build({
      config: { ...config, TOELINE_PORT: port },
      databaseUrl: services.databaseUrl,
      redisUrl: services.redisUrl,
      clock,
      gateways: {
        gateways: [{ name: 'pretend', kind: 'pretend', url: network.url, secret: network.secret }],
      },
      hasWeb: true,
      hasWorker: true,
      note,
      demo: (jobs, worker) => {
        time = new DemoTime(jobs, worker, clock, network.client);
        return { network: network.client, moveClockTo: (at) => time?.moveTo(at) ?? Promise.resolve() };
      },
    });
    stops.push(() => running.stop());
    if (time === undefined) throw new Error('The demonstration has no web server.');
    return { running, clock, time, network: network.client, scenario, staff, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

/** Fills an empty record, or finds its way back into one that a demonstration left behind. */
async function filledRecord(
  databaseUrl: string,
  config: Config,
  scenario: Scenario,
  note: (words: string, error?: unknown) => void,
): Promise<{ clock: MovableClock; staff: Demonstration['staff'] }> {
  const store = await openRecord(databaseUrl, note);
  try {
    const clinics = await store.db.selectFrom('clinic').select('name').execute();
    if (clinics.length > 0) {
      if (clinics.length > 1 || clinics[0]?.name !== scenario.clinic.name) {
        throw new SaidFault(
          'this database holds a real clinic; a demonstration never goes into it. Unset DATABASE_URL.',
        );
      }
      return { clock: new MovableClock(await movedBy(store)), staff: await staffIn(store) };
    }
    const clock = new MovableClock(startOf(scenario) - Date.now());
    await moveClock(store, clock.shiftMs);
    const plan = coreFrom(loadFlows(config.TOELINE_FLOWS)).planCourse;
    const change = { by: 'toeline' as const, now: clock.now(), plan, aheadMs: DEFAULT_OPTIONS.aheadMs };
    const { staff } = await seed(store, scenario, change);
    return { clock, staff };
  } finally {
    await store.close();
  }
}

async function staffIn(store: Store): Promise<Demonstration['staff']> {
  return store.db
    .selectFrom('staff')
    .select(['id', 'name', 'role'])
    .orderBy('created_at')
    .orderBy('id')
    .execute();
}
