declare module 'wink-naive-bayes-text-classifier' {
  /** What the reader's bench asks of this general-purpose library; it ships no types. */
  interface Classifier {
    definePrepTasks: (tasks: readonly ((text: string) => string[])[]) => unknown;
    defineConfig: (config: { considerOnlyPresence: boolean; smoothingFactor: number }) => unknown;
    learn: (text: string, label: string) => unknown;
    consolidate: () => unknown;
    predict: (text: string) => string;
  }
  const newClassifier: () => Classifier;
  export default newClassifier;
}
