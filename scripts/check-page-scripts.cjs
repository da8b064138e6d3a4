// Checks the scripts of the pages: whatever the TypeScript compiler finds, and promises that nobody
// waits for, which it does not look for.
//
//     node scripts/check-page-scripts.cjs $(command -v tsc) tsconfig.json ...

const fs = require("node:fs");
const path = require("node:path");

const [, , tsc, ...configs] = process.argv;
const ts = require(path.resolve(fs.realpathSync(tsc), "../../lib/typescript.js"));

const host = {
  ...ts.sys,
  onUnRecoverableConfigFileDiagnostic: (fault) => {
    throw new Error(ts.flattenDiagnosticMessageText(fault.messageText, "\n"));
  },
};
const formats = { getCurrentDirectory: ts.sys.getCurrentDirectory, getCanonicalFileName: (name) => name, getNewLine: () => "\n" };

let count = 0;
const found = configs.flatMap((config) => {
  const { fileNames, options, errors } = ts.getParsedCommandLineOfConfigFile(config, {}, host);
  const program = ts.createProgram(fileNames, options);
  const scripts = fileNames.map((name) => program.getSourceFile(name));
  count += scripts.length;
  const faults = [...errors, ...ts.getPreEmitDiagnostics(program)].map((fault) => ts.formatDiagnostic(fault, formats));
  return [...faults, ...scripts.flatMap((script) => unawaited(script, program.getTypeChecker()))];
});
process.stdout.write(found.length ? found.join("") : `Nothing found in ${count} scripts of the pages.\n`);
process.exitCode = found.length ? 1 : 0;

/** The statements of a script that make a promise and do nothing with it: `void` says that it is meant. */
function unawaited(script, checker) {
  const faults = [];
  const visit = (node) => {
    if (ts.isExpressionStatement(node) && isLoose(node.expression, checker)) {
      const { line, character } = script.getLineAndCharacterOfPosition(node.getStart());
      const place = path.relative("", script.fileName);
      faults.push(`${place}(${line + 1},${character + 1}): nobody waits for this promise: await it, catch what it throws, or put void before it\n`);
    }
    ts.forEachChild(node, visit);
  };
  visit(script);
  return faults;
}

function isLoose(expression, checker) {
  if (ts.isBinaryExpression(expression)) {
    const { kind } = expression.operatorToken;
    const last = kind === ts.SyntaxKind.AmpersandAmpersandToken || kind === ts.SyntaxKind.BarBarToken || kind === ts.SyntaxKind.QuestionQuestionToken || kind === ts.SyntaxKind.CommaToken;
    return last && isLoose(expression.right, checker);
  }
  if (ts.isParenthesizedExpression(expression)) return isLoose(expression.expression, checker);
  if (ts.isConditionalExpression(expression)) return isLoose(expression.whenTrue, checker) || isLoose(expression.whenFalse, checker);
  if (isCaught(expression)) return false;
  const type = checker.getTypeAtLocation(expression);
  return (type.isUnion() ? type.types : [type]).some((one) => one.getProperty("then"));
}

/** Whether what a promise throws is dealt with at its end: `.catch(f)`, `.then(f, g)`. */
function isCaught(expression) {
  if (!ts.isCallExpression(expression) || !ts.isPropertyAccessExpression(expression.expression)) return false;
  const name = expression.expression.name.text;
  return (name === "catch" && expression.arguments.length > 0) || (name === "then" && expression.arguments.length > 1);
}
