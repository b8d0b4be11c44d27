/** A fault whose message is written for whoever typed the command; no stack is shown. */
export class SaidFault extends Error {
  override readonly name = 'SaidFault';
  constructor(
    message: string,
    readonly exitCode = 1,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}
