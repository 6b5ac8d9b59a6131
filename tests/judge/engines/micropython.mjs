// The judge under MicroPython-wasm, as a long-lived process: one question a line on standard
// input, one answer a line on standard output. First line in: {"files": {path: source}}.
import { createInterface } from 'node:readline'
import { loadMicroPython } from '../../../web/node_modules/@micropython/micropython-webassembly-pyscript/micropython.mjs'

const heapsize = Number(process.env.JUDGE_HEAP_BYTES ?? 16 * 1024 * 1024)
const said = []
const mp = await loadMicroPython({
  heapsize,
  linebuffer: true,
  stdout: (line) => said.push(line),
  stderr: (line) => said.push(line)
})

function install(files) {
  for (const [path, source] of Object.entries(files)) {
    const folders = path.split('/').slice(0, -1)
    let folder = ''
    for (const name of folders) {
      folder += '/' + name
      if (!mp.FS.analyzePath(folder).exists) mp.FS.mkdir(folder)
    }
    mp.FS.writeFile('/' + path, source)
  }
  // as web/src/judge/worker.ts: no look for garbage at the end of every call
  mp.runPython("import gc, sys\ngc.threshold(4194304)\nsys.path.insert(0, '/')\nfrom judge import ask")
  return mp.globals.get('ask')
}

let ask
for await (const line of createInterface({ input: process.stdin })) {
  try {
    if (ask === undefined) {
      ask = install(JSON.parse(line).files)
      process.stdout.write('{"ready":true}\n')
    } else {
      process.stdout.write(ask(line) + '\n')
    }
  } catch (error) {
    const message = [...said, String(error.message ?? error)].join('\n')
    process.stdout.write(JSON.stringify({ error: { code: 'crash', message } }) + '\n')
  }
  said.length = 0
}
