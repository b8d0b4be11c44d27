import { describe, expect, test } from 'vitest';
import { ModemGateway } from '../../src/gateways/modem/modem.js';
import { SETTINGS } from '../../src/gateways/modem/settings.js';
import { conformance } from './conformance.js';
import { startModem } from './modem-stand-in.js';
import { debianTool } from './reference-tool.js';
import { surroundings } from './webhook-request.js';

const tool = debianTool('socat', 'socat');
const why = 'why' in tool ? ` (skipped: ${tool.why})` : '';
const settings = (port: string) => SETTINGS.parse({ port, number: '+15550100000' });

const NO_WEBHOOK = 'a modem hands texts over on its own line, which the tests below cover';

/** Texts as the phones got them, parts joined. */
function joined(sent: Awaited<ReturnType<typeof startModem>>['sent']) {
  const texts: { to: string; body: string; ref: number | undefined }[] = [];
  for (const one of sent) {
    const ref = one.header.part?.ref;
    const last = texts.at(-1);
    if (ref !== undefined && last?.ref === ref) last.body += one.text;
    else texts.push({ to: one.to, body: one.text, ref });
  }
  return texts.map(({ to, body }) => ({ to, body }));
}

if (why !== '') {
  describe('the modem gateway', () => {
    test.skip(`keeps the gateway contract${why}`);
  });
} else {
  conformance(
    'the modem gateway',
    async () => {
      const far = await startModem();
      const gateway = new ModemGateway('modem', settings(far.path), surroundings());
      return {
        gateway,
        arrived: () => joined(far.sent),
        settle: async () => {
          far.sent.splice(0);
          far.state.mood = {};
          // The plug may have been pulled; a modem that is back needs a moment.
          await expect
            .poll(async () => (await gateway.send({ id: 'hello', to: '+15550100109', body: 'hello' })).kind, {
              timeout: 20_000,
            })
            .toBe('accepted');
          far.sent.splice(0);
        },
        refuseNumber: async () => {
          far.state.mood = { refusal: '+CMS ERROR: 28' };
        },
        throttle: async () => {
          far.state.mood = { refusal: '+CMS ERROR: 42' };
        },
        loseAnswer: async () => {
          far.state.mood = { isPulled: true };
          setTimeout(() => void far.plugIn(), 500);
        },
        pointedAtNobody: async () =>
          new ModemGateway('nobody', settings('/dev/no-such-modem'), surroundings()),
        stop: () => far.close(),
      };
    },
    {
      textCall: NO_WEBHOOK,
      reportCall: NO_WEBHOOK,
      oldCall: NO_WEBHOOK,
      bytesCall: NO_WEBHOOK,
      list: 'a modem keeps no list of what it sent',
    },
  );
}
