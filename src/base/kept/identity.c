/* SPDX-License-Identifier: MIT */
/* What computes: an answer is only as good as the program that gave it, so another build, another library or another
 * kind of processor finds nothing of what this one kept. In: the process itself. Out: a hash.
 * What the program brings late (base/late) counts as if it were there. Bringing it only to name it would take longer
 * than most answers, so its name is kept, with the file of each library as it was then: as long as these files are the
 * same, and the loader looks where it did, so is the name. Source: build ids are the linker's own hash of what it
 * linked (NT_GNU_BUILD_ID, elf(5)); ld.so(8). */
#include "base/late/late.h"
#include "kept.h"

#include <elf.h>
#include <link.h>
#include <stdlib.h>
#include <string.h>
#include <sys/auxv.h>
#include <sys/stat.h>

#define KIND "libraries"

typedef struct file_facts {
  int64_t device, inode, size, seconds, nanoseconds; /* all 0: there is none */
} file_facts;

/* One for each object that is loaded: its id, and its file: facts, path, NUL. */
typedef struct objects {
  unsigned char (*id)[KEPT_HASH];
  size_t count;
  bc_buffer files;
  bool failed;
} objects;

static void add(crypto_generichash_state *state, const void *bytes, size_t size) {
  crypto_generichash_update(state, bytes, size);
}

static size_t padded(size_t size) {
  return (size + 3) & ~(size_t)3;
}

/* Adds the build id among the notes of a segment. */
static bool add_build_id(crypto_generichash_state *state, const unsigned char *notes, size_t size) {
  while (size >= sizeof(ElfW(Nhdr))) {
    ElfW(Nhdr) note;
    memcpy(&note, notes, sizeof note);
    const size_t name = sizeof note, content = name + padded(note.n_namesz), end = content + padded(note.n_descsz);
    if (end > size) return false;
    if (note.n_type == NT_GNU_BUILD_ID && note.n_namesz == 4 && memcmp(notes + name, "GNU", 4) == 0) {
      add(state, notes + content, note.n_descsz);
      return true;
    }
    notes += end;
    size -= end;
  }
  return false;
}

static file_facts facts_of(const char *path) {
  struct stat about = {0};
  if (stat(path, &about) != 0) return (file_facts){0};
  return (file_facts){(int64_t)about.st_dev, (int64_t)about.st_ino, (int64_t)about.st_size,
                      (int64_t)about.st_mtim.tv_sec, (int64_t)about.st_mtim.tv_nsec};
}

static bool has_build_id(crypto_generichash_state *state, const struct dl_phdr_info *object) {
  for (size_t i = 0; i < object->dlpi_phnum; i++) {
    const ElfW(Phdr) *part = &object->dlpi_phdr[i];
    if (part->p_type != PT_NOTE) continue;
    /* The loader tells addresses as numbers. NOLINTNEXTLINE(performance-no-int-to-ptr) */
    const unsigned char *notes = (const unsigned char *)(object->dlpi_addr + part->p_vaddr);
    if (add_build_id(state, notes, part->p_memsz)) return true;
  }
  return false;
}

/* Without a build id a file is known by its place, size and time. */
static int add_object(struct dl_phdr_info *object, size_t size, void *data) {
  (void)size;
  objects *all = data;
  const char *path = object->dlpi_name && object->dlpi_name[0] ? object->dlpi_name : "/proc/self/exe";
  if (strstr(path, "linux-vdso")) return 0; /* the kernel's clock */
  unsigned char(*grown)[KEPT_HASH] = bc_reallocate(all->id, all->count + 1, KEPT_HASH);
  if (!grown) {
    all->failed = true;
    return 1;
  }
  const file_facts facts = facts_of(path);
  crypto_generichash_state state;
  crypto_generichash_init(&state, NULL, 0, KEPT_HASH);
  if (!has_build_id(&state, object)) {
    add(&state, path, strlen(path));
    add(&state, &facts, sizeof facts);
  }
  crypto_generichash_final(&state, grown[all->count], KEPT_HASH);
  all->id = grown;
  all->count++;
  bc_buffer_add_bytes(&all->files, &facts, sizeof facts);
  bc_buffer_add_bytes(&all->files, path, strlen(path) + 1);
  return 0;
}

static int by_bytes(const void *first, const void *second) {
  return memcmp(first, second, KEPT_HASH);
}

/* Of all that is loaded now, whatever came first. */
static objects objects_now(void) {
  objects all = {0};
  dl_iterate_phdr(add_object, &all);
  all.failed = all.failed || all.files.failed;
  if (!all.failed) qsort(all.id, all.count, KEPT_HASH, by_bytes);
  return all;
}

static void objects_clear(objects *all) {
  free(all->id);
  bc_buffer_clear(&all->files);
}

/* The C library and we ourselves choose faster code where the processor has it; last digits may follow it. */
static void add_processor(crypto_generichash_state *state) {
  unsigned long facts[8] = {getauxval(AT_HWCAP), getauxval(AT_HWCAP2)};
#if defined(__x86_64__) || defined(__i386__)
  __builtin_cpu_init();
  facts[2] = __builtin_cpu_supports("avx") != 0;
  facts[3] = __builtin_cpu_supports("avx2") != 0;
  facts[4] = __builtin_cpu_supports("fma") != 0;
  facts[5] = __builtin_cpu_supports("avx512f") != 0;
  facts[6] = __builtin_cpu_supports("sse4.1") != 0;
#endif
  add(state, facts, sizeof facts);
}

static bool hash_objects(unsigned char out[KEPT_HASH], const objects *all) {
  crypto_generichash_state state;
  if (all->failed) return false;
  crypto_generichash_init(&state, NULL, 0, KEPT_HASH);
  add(&state, all->id, all->count * KEPT_HASH);
  add_processor(&state);
  crypto_generichash_final(&state, out, KEPT_HASH);
  return true;
}

/* --- the name of what comes late --- */

/* What a name is kept under: what is loaded now, and where the loader will look for more. */
static bool late_key(char out[KEPT_KEY]) {
  static const char *const ways[] = {"LD_LIBRARY_PATH", "LD_PRELOAD", "GLIBC_TUNABLES"};
  objects now = objects_now();
  unsigned char hash[KEPT_HASH];
  const bool done = hash_objects(hash, &now);
  objects_clear(&now);
  if (!done) return false;
  const file_facts cache = facts_of("/etc/ld.so.cache");
  kept_writer key;
  crypto_generichash_init(&key.state, NULL, 0, KEPT_HASH);
  kept_key_add_text(&key, KIND);
  kept_key_add(&key, hash, sizeof hash);
  kept_key_add(&key, &cache, sizeof cache);
  for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) kept_key_add_text(&key, getenv(ways[i]));
  kept_key_end(&key, out);
  return true;
}

static bool files_are_same(const uint8_t *at, const uint8_t *end) {
  while (at < end) {
    file_facts then, now;
    const uint8_t *path = at + sizeof then, *stop = path < end ? memchr(path, 0, (size_t)(end - path)) : NULL;
    if (!stop) return false;
    memcpy(&then, at, sizeof then);
    now = facts_of((const char *)path);
    if (memcmp(&then, &now, sizeof then) != 0) return false;
    at = stop + 1;
  }
  return true;
}

static bool recall(unsigned char out[KEPT_HASH], const bc_store *store, const char *key) {
  kept_block block;
  if (!kept_get_from(&block, store, key, KIND)) return false;
  const bool same = block.size > KEPT_HASH && files_are_same(block.bytes + KEPT_HASH, block.bytes + block.size);
  if (same) memcpy(out, block.bytes, KEPT_HASH);
  kept_block_clear(&block);
  return same;
}

static void keep(bc_store *store, const char *key, const objects *all) {
  bc_buffer bytes = {0};
  bc_buffer_add_bytes(&bytes, store->identity, KEPT_HASH);
  bc_buffer_add_bytes(&bytes, all->files.text, all->files.length);
  if (!bytes.failed) (void)kept_put_into(store, key, KIND, bytes.text, bytes.length);
  bc_buffer_clear(&bytes);
}

bool kept_identify(bc_store *store) {
  char key[KEPT_KEY];
  const bool late = late_there_are();
  if (late && !late_key(key)) return false;
  if (late && recall(store->identity, store, key)) return true;
  late_load_all();
  objects all = objects_now();
  const bool done = hash_objects(store->identity, &all);
  if (done && late) keep(store, key, &all);
  objects_clear(&all);
  return done;
}
