export declare const root: string;
export declare function setUp(options?: { needsRedis?: boolean }): void;
export declare function setUpOrExit(options?: { needsRedis?: boolean }): void;
