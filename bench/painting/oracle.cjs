// Runs a model with the solvers of the npm package "minizinc" (WebAssembly) under Node:
// MZN_ROOT=folder node oracle.cjs model.mzn data.dzn --solver chuffed -f --time-limit 60000
// Its own entry for Node wants a native program, so the worker for browsers is fed by hand.
const fs = require('fs'), path = require('path'), vm = require('vm')
const dist = path.join(process.env.MZN_ROOT || '.', 'node_modules/minizinc/dist')
const worker = path.join(dist, 'minizinc-worker.js')
let told, waiting
globalThis.addEventListener = (kind, hear) => { if (kind === 'message') told = hear }
globalThis.postMessage = m => { if (m.type === 'ready' || m.type === 'exit') waiting(m) }
Object.assign(globalThis, { require, __dirname: dist, __filename: worker })
vm.runInThisContext(fs.readFileSync(worker, 'utf8'), { filename: worker })
const ask = data => new Promise(done => { waiting = done; told({ data }) })
;(async () => {
  await ask({ wasmURL: path.join(dist, 'minizinc.wasm'), dataURL: path.join(dist, 'minizinc.data') })
  const files = {}, args = []
  for (const a of process.argv.slice(2)) {
    const file = /\.(mzn|dzn)$/.test(a)
    if (file) files[path.basename(a)] = fs.readFileSync(a, 'utf8')
    args.push(file ? path.basename(a) : a)
  }
  const end = await ask({ files, args })
  process.stdout.write((end.stdout || '') + (end.stderr || ''))
  process.exit(end.code || 0)
})()
