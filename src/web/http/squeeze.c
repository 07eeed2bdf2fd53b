/* SPDX-License-Identifier: MIT */
/* Answers over 1 KB go out gzipped (RFC 1952) when the client accepts it: readings and plans shrink to a fifth,
 * which a poor connection notices. /api/me stays as it is: it holds the check value. */
#include "web/calls/routes.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#define SMALL 1024

/* "gzip;q=0" refuses it (RFC 9110, 12.5.3). */
static bool accepts_gzip(const web_request *r) {
  const char *accepted = web_header(r, "Accept-Encoding"), *at = accepted ? strstr(accepted, "gzip") : NULL;
  if (!at) return false;
  at += strlen("gzip");
  at += strspn(at, " ");
  if (*at != ';') return true;
  const char *weight = strstr(at, "q=");
  return !weight || strtod(weight + 2, NULL) > 0;
}

static bool is_text(const char *type) {
  return !type || strncmp(type, "application/json", 16) == 0 || strncmp(type, "text/", 5) == 0 ||
         strncmp(type, "image/svg", 9) == 0;
}

void web_squeeze(web_request *r) {
  z_stream stream = {0};
  if (!r->answer.out || r->answer.out_size <= SMALL || r->answer.out_size > UINT32_MAX || r->answer.encoding ||
      r->route->answer == web_show_me || !is_text(r->answer.type) || !accepts_gzip(r))
    return;
  if (deflateInit2(&stream, 5, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY) != Z_OK) return;
  const size_t room = deflateBound(&stream, (uLong)r->answer.out_size);
  uint8_t *small = bc_allocate(room, 1);
  stream.next_in = (Bytef *)r->answer.out;
  stream.avail_in = (uInt)r->answer.out_size;
  stream.next_out = small;
  stream.avail_out = (uInt)room;
  const bool done = small && deflate(&stream, Z_FINISH) == Z_STREAM_END && stream.total_out < r->answer.out_size;
  if (done) {
    free(r->answer.out);
    r->answer.out = (char *)small;
    r->answer.out_size = stream.total_out;
    r->answer.encoding = "gzip";
  } else
    free(small);
  deflateEnd(&stream);
}
