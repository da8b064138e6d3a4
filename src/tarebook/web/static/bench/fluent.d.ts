// What is used of fluent.js, which is not ours: the check of types reads this in its place
// (tsconfig.json).

export class FluentResource {
  constructor(source: string);
}

export class FluentBundle {
  constructor(locale: string, options: { useIsolating: boolean });
  addResource(resource: FluentResource): Error[];
  getMessage(key: string): { value: object | null } | undefined;
  formatPattern(pattern: object, values: Record<string, string | number> | undefined, errors: Error[]): string;
}
