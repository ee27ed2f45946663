import { type ChildProcess, spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig, type Plugin } from 'vite'

/** Pages from their source with hot reload; everything else from a loopback host that this starts and ends. */
const pagePort = 5198
const hostPort = 5199
const host = `http://127.0.0.1:${hostPort}`
const here = `http://127.0.0.1:${pagePort}`

const loopbackHost = (): Plugin => ({
  name: 'loopback-host',
  apply: 'serve',
  configureServer(server) {
    const child: ChildProcess = spawn(process.execPath, [fileURLToPath(new URL('./main.ts', import.meta.url))], {
      env: { ...process.env, OVERGROUND_PORT: String(hostPort) },
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    child.stdout?.on('data', (text: Buffer) => {
      server.config.logger.info(`\n  Overground: ${String(text).trim().replace(host, here)}\n`)
    })
    child.once('exit', (code) => {
      if (code !== 0) server.config.logger.error(`The loopback host ended (${code}).`)
    })
    server.httpServer?.once('close', () => child.kill('SIGTERM'))
  },
})

// the host asks for its own address in Host and in Origin
const toHost = { target: host, changeOrigin: true, headers: { origin: host } }

export default defineConfig({
  root: fileURLToPath(new URL('../../renderer', import.meta.url)),
  plugins: [react(), loopbackHost()],
  server: {
    host: '127.0.0.1',
    port: pagePort,
    strictPort: true,
    proxy: Object.fromEntries(
      ['/call', '/session', '/upload', '/picture', '/document', '/events', '/capabilities', '/details'].map((path) => [
        path,
        toHost,
      ]),
    ),
  },
})
