import { Recorder } from '../../src/gateways/recorder/recorder.js';
import { conformance } from './conformance.js';

const NOTHING_FAR = 'a recorder speaks to nobody';

conformance(
  'the recorder',
  async () => {
    const gateway = new Recorder('dry-run');
    return {
      gateway,
      arrived: () => gateway.sent.map(({ to, body }) => ({ to, body })),
      settle: async () => void gateway.sent.splice(0),
      stop: () => gateway.close(),
    };
  },
  {
    refuseNumber: NOTHING_FAR,
    throttle: NOTHING_FAR,
    loseAnswer: NOTHING_FAR,
    pointedAtNobody: NOTHING_FAR,
    textCall: NOTHING_FAR,
    reportCall: NOTHING_FAR,
    oldCall: NOTHING_FAR,
    bytesCall: NOTHING_FAR,
    list: NOTHING_FAR,
  },
);
