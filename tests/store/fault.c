/* A preload that lets the nth call that changes the disk fail, or ends the
 * program there. What it counts are calls on paths and on files that were
 * opened; the standard streams and the system's own files are left alone.
 *
 * FAULT_NTH   which call, from 1; 0 counts alone
 * FAULT_KIND  kill, torn (half of a write, then the end), or the number of an
 *             error
 * FAULT_READS set: it is the nth of the calls that only read
 * FAULT_STAYS set: every later call fails too, as on a full disk
 * FAULT_COUNT the file that gets both numbers of calls at the end
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

/* Calls that change something, and calls that only read. */
static atomic_long counts[2];
static long nth = -1;
static int failure;
static int torn;
static int stays;
static int reads;

__attribute__((constructor)) static void begin(void) {
    const char *text = getenv("FAULT_NTH");
    const char *kind = getenv("FAULT_KIND");
    nth = text ? atol(text) : 0;
    torn = kind && strcmp(kind, "torn") == 0;
    failure = kind ? atoi(kind) : 0;
    stays = getenv("FAULT_STAYS") != NULL;
    reads = getenv("FAULT_READS") != NULL;
}

__attribute__((destructor)) static void end(void) {
    const char *file = getenv("FAULT_COUNT");
    FILE *out = file ? fopen(file, "w") : NULL;
    if (out) {
        fprintf(out, "%ld %ld\n", atomic_load(&counts[0]), atomic_load(&counts[1]));
        fclose(out);
    }
}

/* Whether this call fails; a kill does not return. */
static int fails(int is_read) {
    /* The engine's threads read what was read through before they were begun. */
    if (is_read && gettid() != getpid()) return 0;
    long at = atomic_fetch_add(&counts[is_read], 1) + 1;
    if (is_read != reads) return 0;
    if (nth < 1 || at < nth || (at > nth && !stays)) return 0;
    if (failure == 0 && !torn) kill(getpid(), SIGKILL);
    if (torn) return 1;
    errno = failure;
    return 1;
}

#define REAL(name) \
    static __typeof__(&name) real; \
    if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

#define WRITE(name, parameters, arguments, half) \
    ssize_t name parameters { \
        REAL(name); \
        if (fd <= 2 || !fails(0)) return real arguments; \
        if (torn) { \
            real half; \
            kill(getpid(), SIGKILL); \
        } \
        return -1; \
    }

WRITE(write, (int fd, const void *bytes, size_t size), (fd, bytes, size), (fd, bytes, size / 2))
WRITE(pwrite, (int fd, const void *bytes, size_t size, off_t at), (fd, bytes, size, at), (fd, bytes, size / 2, at))
WRITE(pwrite64, (int fd, const void *bytes, size_t size, off64_t at), (fd, bytes, size, at), (fd, bytes, size / 2, at))

#define READ(name, parameters, arguments) \
    ssize_t name parameters { \
        REAL(name); \
        return fd <= 2 || !fails(1) ? real arguments : -1; \
    }

READ(read, (int fd, void *bytes, size_t size), (fd, bytes, size))
READ(pread, (int fd, void *bytes, size_t size, off_t at), (fd, bytes, size, at))
READ(pread64, (int fd, void *bytes, size_t size, off64_t at), (fd, bytes, size, at))

#define PLAIN(name, parameters, arguments) \
    int name parameters { \
        REAL(name); \
        if (!fails(0)) return real arguments; \
        if (torn) kill(getpid(), SIGKILL); \
        return -1; \
    }

PLAIN(fsync, (int fd), (fd))
PLAIN(fdatasync, (int fd), (fd))
PLAIN(sync_file_range, (int fd, off64_t at, off64_t size, unsigned int flags), (fd, at, size, flags))
PLAIN(ftruncate, (int fd, off_t size), (fd, size))
PLAIN(ftruncate64, (int fd, off64_t size), (fd, size))
PLAIN(rename, (const char *from, const char *to), (from, to))
PLAIN(unlink, (const char *path), (path))
PLAIN(mkdir, (const char *path, mode_t mode), (path, mode))
PLAIN(rmdir, (const char *path), (path))
PLAIN(unlinkat, (int fd, const char *path, int flags), (fd, path, flags))
PLAIN(link, (const char *from, const char *to), (from, to))
PLAIN(fchmod, (int fd, mode_t mode), (fd, mode))
PLAIN(chmod, (const char *path, mode_t mode), (path, mode))

static int is_of_the_system(const char *path) {
    static const char *const places[] = {"/dev/", "/proc/", "/sys/", "/etc/", "/usr/", "/lib"};
    for (size_t at = 0; at < sizeof places / sizeof *places; at++)
        if (strncmp(path, places[at], strlen(places[at])) == 0) return 1;
    return 0;
}

/* Opening to write or to make a file changes something, other opening reads. */
#define OPEN(name) \
    int name(const char *path, int flags, ...) { \
        REAL(name); \
        mode_t mode = 0; \
        if (flags & (O_CREAT | O_TMPFILE)) { \
            va_list more; \
            va_start(more, flags); \
            mode = va_arg(more, mode_t); \
            va_end(more); \
        } \
        int is_read = !(flags & (O_WRONLY | O_RDWR | O_CREAT)); \
        if (!is_of_the_system(path) && fails(is_read)) { \
            if (torn) kill(getpid(), SIGKILL); \
            return -1; \
        } \
        return real(path, flags, mode); \
    }

OPEN(open)
OPEN(open64)
