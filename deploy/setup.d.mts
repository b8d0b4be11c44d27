export declare const root: string;
export declare function setUp(options?: { needsRedis?: boolean; wantsBrowser?: boolean }): void;
export declare function setUpOrExit(options?: { needsRedis?: boolean; wantsBrowser?: boolean }): void;
