import { SmppGateway } from '../../src/gateways/smpp/smpp.js';
import { conformance } from './conformance.js';
import { smppSettings as settings, startSmsc } from './smsc-stand-in.js';
import { deadPort, surroundings } from './webhook-request.js';

const NO_WEBHOOK = 'SMPP hands texts over on its own line, which the tests below cover';

conformance(
  'the SMPP gateway',
  async () => {
    const far = await startSmsc();
    // No silence after "throttled", since the suite goes on at once.
    let skipped = 0;
    const wallNow = () => {
      skipped += 120_000;
      return Date.now() + skipped;
    };
    const around = { ...surroundings(), wallNow };
    return {
      gateway: new SmppGateway('smpp', settings(far.port), around),
      arrived: () => far.texts(),
      settle: async () => {
        far.submits.splice(0);
        far.state.mood = {};
      },
      refuseNumber: async () => {
        far.state.mood = { status: 0x0b };
      },
      throttle: async () => {
        far.state.mood = { status: 0x58 };
      },
      loseAnswer: async () => {
        far.state.mood = { isAnswerLost: true };
      },
      pointedAtNobody: async () => new SmppGateway('smpp', settings(await deadPort()), surroundings()),
      stop: () => far.close(),
    };
  },
  {
    textCall: NO_WEBHOOK,
    reportCall: NO_WEBHOOK,
    oldCall: NO_WEBHOOK,
    bytesCall: NO_WEBHOOK,
    list: 'SMPP 3.4 has no list of messages',
  },
);
