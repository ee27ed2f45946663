import { networkInterfaces } from 'node:os'
import type { PhoneAddress } from '../../../shared-core/contract/phone-calls.ts'

/** Programs' own networks on this computer, by the names that systems give them: no phone is there. */
const ofPrograms = /^(docker|br-|veth|virbr|vmnet|vboxnet|vethernet|lxc|lxd|cni|podman|zt|tun|tap|utun|wg|awdl|llw)/i

/**
 * Where phones could reach this computer: private networks first, IPv4 before IPv6.
 * Link-local addresses are left out: no browser can be given the connection that belongs to them.
 * @param withLoopback  for tests: a browser on this computer in place of a phone
 */
export function phoneAddresses(withLoopback = false, all = networkInterfaces()): PhoneAddress[] {
  const found = Object.entries(all).flatMap(([connection, addresses]) =>
    (addresses ?? [])
      .filter(({ internal, address }) => (internal ? withLoopback && address === '127.0.0.1' : !isLinkLocal(address)))
      .map(({ address }) => ({ address, connection, isPrivate: isPrivate(address) })),
  )
  const rank = ({ address, connection, isPrivate: own }: PhoneAddress) =>
    (ofPrograms.test(connection) ? 4 : 0) + (own ? 0 : 2) + (address.includes(':') ? 1 : 0)
  return found.toSorted((a, b) => rank(a) - rank(b))
}

/** Sources: RFC 3927 (169.254/16), RFC 4291 section 2.5.6 (fe80::/10). */
const isLinkLocal = (address: string): boolean => /^169\.254\.|^fe[89ab]/i.test(address)

/**
 * Whether an address lies in a range that is not routed between networks.
 * Sources: RFC 1918 section 3; RFC 4193 section 3.1 (fc00::/7); RFC 1122 section 3.2.1.3 (127/8).
 */
export function isPrivate(address: string): boolean {
  if (address.includes(':')) return /^f[cd]/i.test(address)
  const [a = 0, b = 0] = address.split('.').map(Number)
  return a === 10 || a === 127 || (a === 172 && b >= 16 && b <= 31) || (a === 192 && b === 168)
}
