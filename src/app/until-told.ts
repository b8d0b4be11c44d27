/** Resolves when the process is asked to end (SIGTERM, Ctrl-C). A second Ctrl-C ends it at once. */
export function untilTold(): Promise<NodeJS.Signals> {
  return new Promise((resolve) => {
    let isTold = false;
    const tell = (signal: NodeJS.Signals) => {
      if (isTold && signal === 'SIGINT') process.exit(130);
      isTold = true;
      resolve(signal);
    };
    process.on('SIGTERM', tell);
    process.on('SIGINT', tell);
  });
}
