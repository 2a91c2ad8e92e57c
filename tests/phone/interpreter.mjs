// Runs core in MicroPython under node: reads one JSON request a line, answers one JSON text a line.
// argv: path of micropython.mjs, path of a JSON file {"core/x.py": text}
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { pathToFileURL } from 'node:url';

const [enginePath, modulesPath] = process.argv.slice(2);
const { loadMicroPython } = await import(pathToFileURL(enginePath).href);
const python = await loadMicroPython({ heapsize: 16 * 1024 * 1024, stdout: (line) => process.stderr.write(line + '\n') });
const modules = JSON.parse(readFileSync(modulesPath, 'utf8'));
for (const [path, text] of Object.entries(modules)) {
  const full = `/lib/${path}`;
  python.FS.mkdirTree(full.slice(0, full.lastIndexOf('/')));
  python.FS.writeFile(full, text);
}
python.runPython('from core import door\n');
const call = python.globals.get('door').call;
process.stdout.write('ready\n');
for await (const line of createInterface({ input: process.stdin })) {
  process.stdout.write(JSON.stringify(call(JSON.parse(line))) + '\n');
}
