/**
 * Where a folder lies. `here`: on a drive of this computer. `network`: on one that other computers write to as well; SQLite's
 * write-ahead log needs memory that all who write share, so that such a rack is only read (SQLite, Write-Ahead Logging: "WAL does
 * not work over a network filesystem"). `unknown`: a program serves the folder, and nobody says from where.
 */
export type FileSystem = { readonly where: 'here' | 'network' | 'unknown'; readonly name: string }

/** What the system says. Everything is judged from this, so that it is tested on any system. */
export type FileSystemFacts = {
  readonly platform: NodeJS.Platform
  /** With links resolved; on Windows that turns a mapped drive into `\\server\share`. */
  readonly path: string
  /** `f_type` of statfs(2). */
  readonly type: number | null
  /** Linux: /proc/self/mountinfo. macOS: what `mount` prints. Windows: what `net use` prints. */
  readonly mounts: string | null
}

export function fileSystemOf(facts: FileSystemFacts): FileSystem {
  if (facts.platform === 'win32') return onWindows(facts)
  if (facts.platform === 'darwin') return onMac(facts)
  return onLinux(facts)
}

/**
 * Source: Linux, include/uapi/linux/magic.h, where it names them; SMB2 and Lustre from their own headers
 * (fs/smb/client/cifsglob.h, lustre_user.h), GFS2 from gfs2_ondisk.h.
 */
const networkMagic: ReadonlyMap<number, string> = new Map([
  [0x6969, 'nfs'],
  [0x517b, 'smb'],
  [0xff534d42, 'cifs'],
  [0xfe534d42, 'smb2'],
  [0x01021997, '9p'],
  [0x5346414f, 'afs'],
  [0x6b414653, 'kafs'],
  [0x73757245, 'coda'],
  [0x00c36400, 'ceph'],
  [0x7461636f, 'ocfs2'],
  [0x01161970, 'gfs2'],
  [0x0bd00bd0, 'lustre'],
  [0x786f4256, 'vboxsf'],
])
const fuseMagic = 0x65735546

/** Types as mountinfo writes them (proc_pid_mountinfo(5)) whose server is another computer, or the host of a virtual one. */
const networkTypes =
  /^(nfs4?|cifs|smb3|smbfs|9p|afs|kafs|coda|ceph|ocfs2|gfs2?|lustre|ncpfs|davfs|vboxsf|virtiofs|prl_fs|fuse\.(sshfs|davfs2?|curlftpfs|cifs|smbnetfs|nfs|gvfsd-fuse|kio-fuse|glusterfs|ceph|s3fs|vmhgfs-fuse))$/
/** Programs that serve what lies on a drive of this computer; a drive of another make is `fuseblk`. */
const servedFromHere =
  /^(fuseblk|fuse\.(encfs|gocryptfs|cryfs|securefs|ntfs-3g|ntfs|exfat|lowntfs-3g|mergerfs|mhddfs|bindfs|unionfs|unionfs-fuse|fuse-overlayfs|portal|squashfuse|apfs-fuse|hfsfuse|zfs-fuse))$/

function onLinux({ path, type, mounts }: FileSystemFacts): FileSystem {
  const mount = mounts === null ? null : mountOf(readMountInfo(mounts), path)
  const magic = type === null ? undefined : networkMagic.get(type >>> 0)
  if (magic) return { where: 'network', name: mount?.type ?? magic }
  if (mount && networkTypes.test(mount.type)) return { where: 'network', name: mount.type }
  const isFuse = mount ? /^fuse(\.|$)/.test(mount.type) : type !== null && type >>> 0 === fuseMagic
  if (!isFuse) return { where: 'here', name: mount?.type ?? 'local' }
  const name = mount?.type ?? 'fuse'
  if (servedFromHere.test(name)) return { where: 'here', name }
  // "wren@bench:/racks" and "//bench/racks" say themselves that they come from elsewhere
  if (mount && /^(\/\/|[^/\s]+:)/.test(mount.source)) return { where: 'network', name }
  return { where: 'unknown', name }
}

type Mount = { at: string; type: string; source: string }

/** Source: proc_pid_mountinfo(5): mount point is field 5, then options, any number of optional fields, a lone dash, type, source. */
function readMountInfo(text: string): Mount[] {
  return text.split('\n').flatMap((line) => {
    const fields = line.split(' ')
    const dash = fields.indexOf('-', 6)
    const [at, type, source] = [fields[4], fields[dash + 1], fields[dash + 2]]
    return dash > 0 && at && type ? [{ at: unescaped(at), type, source: unescaped(source ?? '') }] : []
  })
}

/** Blanks, tabs, line ends and backslashes are written as three octal digits. */
const unescaped = (text: string): string =>
  text.replaceAll(/\\([0-7]{3})/g, (_, digits: string) => String.fromCharCode(Number.parseInt(digits, 8)))

/** The mount whose folder holds the path: the deepest, and of those at one place the last, which covers the others. */
function mountOf(mounts: readonly Mount[], path: string): Mount | null {
  let best: Mount | null = null
  for (const mount of mounts) {
    const inside = mount.at === '/' || path === mount.at || path.startsWith(`${mount.at}/`)
    if (inside && mount.at.length >= (best?.at.length ?? 0)) best = mount
  }
  return best
}

/**
 * `//wren@bench/racks on /Volumes/racks (smbfs, nodev, nosuid, mounted by wren)`. The word "local" among the options is the flag
 * MNT_LOCAL of statfs(2): "file system is stored locally".
 */
function onMac({ path, mounts }: FileSystemFacts): FileSystem {
  const found = (mounts ?? '').split('\n').flatMap((line) => {
    const [, source, at, options] = /^(.+?) on (\/.*) \(([^()]*)\)$/.exec(line.trim()) ?? []
    if (source === undefined || at === undefined || options === undefined) return []
    return [{ at, source, type: options }]
  })
  const mount = mountOf(found, path)
  if (!mount) return { where: 'unknown', name: 'unknown' }
  const [name = 'unknown', ...flags] = mount.type.split(',').map((word) => word.trim())
  if (flags.includes('local')) return { where: 'here', name }
  // other computers' shares have a source; what programs serve on this one often has not
  const isServed = /^(nfs|smbfs|afpfs|webdav|ftp|cifs)$/.test(name) || /^(\/\/|[^/\s]+:)/.test(mount.source)
  return { where: isServed ? 'network' : 'unknown', name }
}

/**
 * `\\server\share` is on another computer; `\\?\C:\…` and `\\.\…` are only a way of writing (Microsoft Learn, Naming Files, Paths,
 * and Namespaces). A mapped drive whose link was not resolved stands in the list of `net use` with the share it leads to.
 */
function onWindows({ path, mounts }: FileSystemFacts): FileSystem {
  const share = { where: 'network', name: 'share' } as const
  if (/^\\\\[?.]\\UNC\\/i.test(path)) return share
  const plain = path.replace(/^\\\\[?.]\\/, '')
  if (/^(\\\\|\/\/)/.test(plain)) return share
  const [, drive] = /^([A-Za-z]):/.exec(plain) ?? []
  if (!drive) return { where: 'unknown', name: 'unknown' }
  // the words around are in the language of the system; the drive and the two backslashes are not
  const mapped = [...(mounts ?? '').matchAll(/(?:^|\s)([A-Za-z]):\s+\\\\[^\\\s]+\\/gm)].map(([, letter]) => letter)
  const isMapped = mapped.some((letter) => letter?.toUpperCase() === drive.toUpperCase())
  return isMapped ? share : { where: 'here', name: `${drive.toUpperCase()}:` }
}
