/** The parts of libheif's C interface (`heif.h` of libheif 1.23) that are used; every pointer is a number. */
declare module 'libheif-js/libheif-wasm/libheif-bundle.js' {
  export type HeifModule = {
    readonly HEAPU8: Uint8Array
    readonly HEAPU32: Uint32Array
    _malloc: (size: number) => number
    _free: (pointer: number) => void
    _heif_context_alloc: () => number
    _heif_context_free: (context: number) => void
    _heif_context_set_max_decoding_threads: (context: number, count: number) => void
    _heif_context_read_from_memory_without_copy: (
      error: number,
      context: number,
      bytes: number,
      size: number,
      options: number,
    ) => void
    _heif_context_get_primary_image_handle: (error: number, context: number, handle: number) => void
    _heif_context_get_number_of_items: (context: number) => number
    _heif_context_get_list_of_item_IDs: (context: number, ids: number, count: number) => number
    _heif_item_get_item_type: (context: number, item: number) => number
    _heif_image_handle_release: (handle: number) => void
    _heif_image_handle_get_width: (handle: number) => number
    _heif_image_handle_get_height: (handle: number) => number
    _heif_image_handle_get_luma_bits_per_pixel: (handle: number) => number
    _heif_image_handle_get_chroma_bits_per_pixel: (handle: number) => number
    _heif_image_handle_get_preferred_decoding_colorspace: (
      error: number,
      handle: number,
      colourSpace: number,
      chroma: number,
    ) => void
    _heif_image_handle_get_color_profile_type: (handle: number) => number
    _heif_image_handle_get_raw_color_profile_size: (handle: number) => number
    _heif_image_handle_get_raw_color_profile: (error: number, handle: number, bytes: number) => void
    _heif_image_handle_get_nclx_color_profile: (error: number, handle: number, profile: number) => void
    _heif_image_handle_get_number_of_metadata_blocks: (handle: number, type: number) => number
    _heif_image_handle_get_list_of_metadata_block_IDs: (
      handle: number,
      type: number,
      ids: number,
      count: number,
    ) => number
    _heif_image_handle_get_metadata_size: (handle: number, id: number) => number
    _heif_image_handle_get_metadata: (error: number, handle: number, id: number, bytes: number) => void
    _heif_image_handle_get_number_of_auxiliary_images: (handle: number, without: number) => number
    _heif_image_handle_get_list_of_auxiliary_image_IDs: (
      handle: number,
      without: number,
      ids: number,
      count: number,
    ) => number
    _heif_image_handle_get_auxiliary_image_handle: (error: number, handle: number, id: number, found: number) => void
    _heif_image_handle_get_auxiliary_type: (error: number, handle: number, text: number) => void
    _heif_decode_image: (
      error: number,
      handle: number,
      image: number,
      colourSpace: number,
      chroma: number,
      options: number,
    ) => void
    _heif_image_release: (image: number) => void
    _heif_image_get_width: (image: number, channel: number) => number
    _heif_image_get_height: (image: number, channel: number) => number
    _heif_image_get_bits_per_pixel_range: (image: number, channel: number) => number
    _heif_image_get_plane_readonly: (image: number, channel: number, stride: number) => number
    _heif_nclx_color_profile_free: (profile: number) => void
  }
  export default function makeLibrary(options: { print: () => void; printErr: () => void }): HeifModule
}
